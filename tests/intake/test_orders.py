"""What was ordered so far: read, and all that may be wrong with it."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Mapping
from fractions import Fraction
from pathlib import Path

import pytest

from quotegen.basics.money import Money
from quotegen.intake.folder import read_folder

Told = Callable[[Mapping[str, str | bytes | None]], list[str]]
Write = Callable[[Mapping[str, str | bytes | None]], Path]
ToldOfEdit = Callable[[str, str, str], list[str]]
ORDERS = "orders/pawl.yaml"
SOUND = """format: 1
orders:
- {order: PO-1, supplier: arden, day: 2026-03-02, revision: C, process: investment casting,
   ordered: 56, received: 54 pieces, rejected: 3, paid: 430 GBP}
- {order: PO-2, supplier: arden, day: 2026-06-02, revision: C, ordered: 56}
"""


def test_orders_are_read_with_their_places(write: Write) -> None:
    folder = read_folder(write({ORDERS: SOUND}))
    assert folder.problems == ()
    entry = folder.orders["pawl"]
    first, second = entry.record.orders
    assert (first.order, first.received, first.rejected) == ("PO-1", 54, 3)
    assert (first.day, first.paid) == (datetime.date(2026, 3, 2), Money(Fraction(430), "GBP"))
    assert (second.received, second.rejected, second.paid) == (None, None, None)
    assert str(entry.places.of("orders", 0, "rejected")) == "orders/pawl.yaml:4:48"
    assert entry.files == (ORDERS,)


CASES = [
    pytest.param(
        "received: 54 pieces, rejected: 3",
        "received: 2, rejected: 3",
        "orders/pawl.yaml:4:40 order-rejected: orders 1, rejected: 3 rejected of 2 received.",
        id="more rejected than received",
    ),
    pytest.param(
        "received: 54 pieces, rejected: 3",
        "rejected: 3",
        "orders/pawl.yaml:4:27 order-rejected: orders 1, rejected: 3 rejected of 0 received.",
        id="rejected of what nobody received",
    ),
    pytest.param(
        "PO-2, supplier: arden",
        "PO-2, supplier: ardent",
        "orders/pawl.yaml:5:27 order-supplier-unknown: orders 2, supplier: there is no supplier "
        "'ardent'; did you mean 'arden'?",
        id="an unknown supplier",
    ),
    pytest.param(
        "rejected: 3",
        "rejected: -3",
        "orders/pawl.yaml:4:48 not-positive: orders 1, rejected: '-3' must be zero or more.",
        id="fewer than none",
    ),
    pytest.param(
        "ordered: 56, received",
        "ordered: 0, received",
        "orders/pawl.yaml:4:13 not-positive: orders 1, ordered: '0' must be 1 or more.",
        id="nothing ordered",
    ),
    pytest.param(
        "rejected: 3",
        "rejectd: 3",
        "orders/pawl.yaml:4:38 unknown-key: orders 1, rejectd: unknown key; did you mean "
        "'rejected'?",
        id="a key that is not known",
    ),
]


@pytest.mark.parametrize(("old", "new", "expected"), CASES)
def test_what_is_wrong_with_an_order(old: str, new: str, expected: str, told: Told) -> None:
    assert SOUND.count(old) == 1
    assert told({ORDERS: SOUND.replace(old, new)}) == [expected]


def test_a_number_that_stands_twice_leaves_both_out(write: Write) -> None:
    folder = read_folder(write({ORDERS: SOUND.replace("PO-2", "PO-1")}))
    assert [each.message for each in folder.problems] == [
        "orders 1, order: another order of this supplier bears the number 'PO-1'.",
        "orders 2, order: another order of this supplier bears the number 'PO-1'.",
    ]
    assert folder.problems[0].code == "order-twice"
    assert folder.problems[1].happens == "Order 2 of pawl is left out."
    assert folder.orders["pawl"].record.orders == ()


def test_only_the_wrong_order_is_left_out(write: Write) -> None:
    folder = read_folder(write({ORDERS: SOUND.replace("rejected: 3", "rejected: 55")}))
    assert [each.order for each in folder.orders["pawl"].record.orders] == ["PO-2"]
    assert [each.happens for each in folder.problems] == ["Order 1 of pawl is left out."]


def test_orders_for_a_part_that_is_not_there(told: Told) -> None:
    assert told({"orders/paul.yaml": SOUND}) == [
        "orders/paul.yaml:1:1 orders-part-unknown: There is no part 'paul'; did you mean 'pawl'?"
    ]


def test_orders_for_what_could_not_be_read(told: Told, sound: Mapping[str, str]) -> None:
    broken = {ORDERS: SOUND, "parts/pawl.yaml": "format: 2\n"}
    assert "orders/pawl.yaml:1:1 orders-part-broken: The part 'pawl' could not be read." in told(
        broken
    )
    supplier = sound["suppliers/arden.yaml"].replace("format: 1", "format: 2")
    said = told({ORDERS: SOUND, "suppliers/arden.yaml": supplier})
    assert (
        "orders/pawl.yaml:3:27 order-supplier-broken: orders 1, supplier: the supplier 'arden' "
        "could not be read."
    ) in said


def test_an_order_of_one_of_several_processes_is_told(told: Told, sound: Mapping[str, str]) -> None:
    supplier = sound["suppliers/arden.yaml"]
    several = supplier.replace("[investment casting]", "[investment casting, sand casting]")
    assert several != supplier
    orders = SOUND.replace(" process: investment casting,\n  ", "\n  ")
    assert told({ORDERS: orders, "suppliers/arden.yaml": several}) == [
        (
            "orders/pawl.yaml:3:3 order-process: orders 1: the supplier has several processes, and "
            "the order names none of them."
        )
    ]


def test_the_folder_is_found_where_its_name_is_nearly_right(told: Told) -> None:
    assert told({"order/pawl.yaml": SOUND}) == [
        (
            "order folder-not-read: The folder 'order' is not looked into; forms are read from "
            "'orders' alone."
        )
    ]
