"""Small folders whose plans can be reckoned by hand: no interest, storage of 1 % a month."""

from __future__ import annotations

from typing import Any

from quotegen.judge.studied import PartStudy
from tests.folders import Forms, a_part, a_quote, a_supplier, a_tool, a_workshop, an_item, forms
from tests.report.studies import study_of

FREE_MONEY = {"cost_of_capital": "0 % a year", "storage": "12 % a year"}


def two_orders(*, workshop: dict[str, Any] | None = None, **part: Any) -> Forms:
    """Ten a month for a year at 10 each and 30 an order; a part of a lot of 60 is worth 10.50.

    A part that waits costs 0.105 a month. One order: 30 + 660 x 0.105 = 99.30. Two of 60: 60 +
    2 x 150 x 0.105 = 91.50. Three of 40: 90 + 180 x 0.105 = 108.90. So two: 1,291.50 in all.
    """
    item = an_item(
        "10 EUR per 1",
        process="machining",
        charges=[{"what": "set-up", "amount": "30 EUR", "per": "order"}],
    )
    return forms(
        a_quote("ash-1", item),
        workshop=a_workshop(**FREE_MONEY, **(workshop or {})),
        part=a_part(120, **{"lot": "60", "needed_by": "2027-01-01", **part}),
        suppliers={"ash": a_supplier(name="Ash")},
    )


def die_or_none(*, workshop: dict[str, Any] | None = None, **part: Any) -> Forms:
    """A die of 880 with castings of 3 against machining at 10; 200 a year, an order each month.

    The cumulative need is 17, 34, 50, ..., 117 after seven months and 134 after eight: 880 + 3 x
    117 = 1,231 is more than 1,170 and 880 + 3 x 134 = 1,282 is less than 1,340.
    """
    casting = an_item("3 EUR per 1", process="investment casting", tools=[a_tool("880 EUR")])
    return forms(
        a_quote("foss-7", casting),
        a_quote("mill-2", an_item("10 EUR per 1", process="machining")),
        workshop=a_workshop(**FREE_MONEY, **(workshop or {})),
        part=a_part(200, **{"needed_by": "2027-01-01", **part}),
        suppliers={
            "foss": a_supplier(name="Foss Castings", processes=["investment casting"]),
            "mill": a_supplier(name="Mill Lane"),
        },
    )


def studied(content: Forms) -> PartStudy:
    return study_of(content).parts["p"]
