"""Places: how they are shown, sorted and looked up."""

from __future__ import annotations

import pytest

from quotegen.basics.place import Place, Places


@pytest.mark.parametrize(
    ("place", "shown"),
    [
        (Place("a.yaml"), "a.yaml"),
        (Place("a.yaml", 3, 7), "a.yaml:3:7"),
        (Place("a.csv", 3), "a.csv:3:1"),
        (Place("a.xlsx", cell="Offer!B7"), "a.xlsx:Offer!B7"),
        (Place("a.pdf", page=2), "a.pdf:page 2"),
        (Place("a.pdf", 14, 3, page=2), "a.pdf:page 2:14:3"),
    ],
)
def test_a_place_is_shown_so_that_an_editor_or_a_person_finds_it(place: Place, shown: str) -> None:
    """No source."""
    assert str(place) == shown


def test_places_sort_by_file_then_downwards_then_across() -> None:
    """No source: row 10 comes after row 9, column AA after Z."""
    places = [
        Place("a.yaml"),
        Place("a.yaml", 2, 9),
        Place("a.yaml", 10, 1),
        Place("b.xlsx"),
        Place("b.xlsx", cell="Angebot!B2"),
        Place("b.xlsx", cell="Offer!Z9"),
        Place("b.xlsx", cell="Offer!AA9"),
        Place("b.xlsx", cell="Offer!A10"),
        Place("c.pdf", page=2),
        Place("c.pdf", page=10),
    ]
    shuffled = places[1::2] + places[::2]
    assert sorted(shuffled, key=lambda place: place.order) == places


def test_a_value_that_was_not_written_has_the_place_around_it() -> None:
    """No source: at last the file."""
    file, item, price = Place("a.yaml"), Place("a.yaml", 2, 3), Place("a.yaml", 4, 5)
    places = Places(file, {("items", 0): item, ("items", 0, "price"): price})
    assert places.of("items", 0, "price") == price
    assert places.of("items", 0, "minimum") == item
    assert places.of("currency") == file
    assert places.within("items", 0).of("price") == price
    assert places.within("items", 0).of("minimum") == item
