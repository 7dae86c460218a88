"""A small SVG writer: elements as values, escaped when written, the same bytes every time."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass

NAME = re.compile(r"[A-Za-z][A-Za-z0-9-]*")
# Only these may stand in XML 1.0 (section 2.2, production Char); the rest would break the page.
NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"})


@dataclass(frozen=True, slots=True)
class Element:
    """An element with its attributes as text, in the order given, and its children."""

    name: str
    attributes: tuple[tuple[str, str], ...] = ()
    children: tuple[Element | str, ...] = ()


def element(name: str, *children: Element | str, **attributes: str | float | None) -> Element:
    """An element; text_anchor stands for text-anchor, and an attribute of None is left out.

    Numbers are in drawing units. Raises ValueError for a number that is not finite, and for a
    name that is not one of SVG's: a style attribute (WeasyPrint warns of it) or an event.
    """
    named = tuple(
        (_attribute_name(key), value if isinstance(value, str) else number(value))
        for key, value in attributes.items()
        if value is not None
    )
    return Element(name, named, children)


def number(value: float) -> str:
    """The number to two decimals, the shortest way; 0.01 unit is thinner than any printed line."""
    if not math.isfinite(value):
        raise ValueError(f"{value!r} has no place in a drawing")
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def points(pairs: Iterable[tuple[float, float]]) -> str:
    """The points attribute of a polyline or polygon."""
    return " ".join(f"{number(x)},{number(y)}" for x, y in pairs)


def escaped(text: str) -> str:
    """Text that is safe between tags and inside quotes; what XML 1.0 forbids becomes a "?"."""
    return NOT_XML.sub("?", text).translate(ESCAPES)


def written(part: Element | str) -> str:
    """The markup of an element and all it holds, on one line."""
    if isinstance(part, str):
        return escaped(part)
    attributes = "".join(f' {key}="{escaped(value)}"' for key, value in part.attributes)
    inside = "".join(written(child) for child in part.children)
    return (
        f"<{part.name}{attributes}>{inside}</{part.name}>"
        if inside
        else (f"<{part.name}{attributes}/>")
    )


def _attribute_name(key: str) -> str:
    name = key.rstrip("_").replace("_", "-")
    if not NAME.fullmatch(name) or name == "style" or name.startswith("on"):
        raise ValueError(f"{name!r} is not an attribute of our drawings")
    return name
