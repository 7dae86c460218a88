"""The SVG writer: what it writes is well formed whatever the texts are."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lxml import etree

from quotegen.report.charts.svg import element, escaped, number, points, written


@given(st.text(), st.text())
def test_any_text_survives_as_text_and_as_attribute(inside: str, beside: str) -> None:
    """XML 1.0, sections 2.2 (characters), 2.4 (text) and 3.3.3 (blanks in attributes)."""
    read = etree.fromstring(written(element("text", inside, aria_label=beside)))
    kept = "".join(mark if is_xml(mark) else "?" for mark in inside)
    assert (read.text or "") == kept.replace("\r\n", "\n").replace("\r", "\n")
    blank = str.maketrans("\t\n\r", "   ")
    assert read.get("aria-label", "").translate(blank) == "".join(
        mark if is_xml(mark) else "?" for mark in beside
    ).replace("\r\n", "\n").translate(blank)


def is_xml(mark: str) -> bool:
    """The production Char of XML 1.0."""
    code = ord(mark)
    return (
        code in (9, 10, 13) or 0x20 <= code <= 0xD7FF or 0xE000 <= code <= 0xFFFD or code >= 0x10000
    )


def test_markup_in_a_text_does_not_become_an_element() -> None:
    """No source: what a supplier writes is never markup."""
    read = etree.fromstring(written(element("text", "<script>'x' & \"y\"</script>")))
    assert len(read) == 0
    assert read.text == "<script>'x' & \"y\"</script>"
    assert escaped("\x00\x1b\ud800") == "???"


@pytest.mark.parametrize(
    ("value", "text"),
    [(1, "1"), (0.5, "0.5"), (10.0, "10"), (1.005, "1"), (-0.001, "0"), (-2.346, "-2.35")],
)
def test_a_number_is_written_the_shortest_way_to_two_decimals(value: float, text: str) -> None:
    """No source: same bytes every time, and no exponent that a reader may not know."""
    assert number(value) == text
    assert points([(value, 0)]) == f"{text},0"


@pytest.mark.parametrize("value", [float("nan"), float("inf"), -float("inf")])
def test_a_number_that_is_not_finite_is_refused(value: float) -> None:
    with pytest.raises(ValueError, match="no place in a drawing"):
        number(value)


@pytest.mark.parametrize("name", ["style", "onclick", "on_click", "a b", "x=", ""])
def test_an_attribute_that_is_style_an_event_or_no_name_is_refused(name: str) -> None:
    """WeasyPrint logs a warning for each style attribute with SVG properties."""
    with pytest.raises(ValueError, match="is not an attribute of our drawings"):
        element("rect", **{name: "1"})


def test_attributes_keep_their_order_and_none_is_left_out() -> None:
    """No source: the order given is the order written, so that the bytes are the same."""
    shape = element("rect", element("title", "a"), x=1, fill=None, stroke_width=0.5, class_="b")
    assert written(shape) == '<rect x="1" stroke-width="0.5" class="b"><title>a</title></rect>'
    assert written(element("line", x1=0)) == '<line x1="0"/>'
