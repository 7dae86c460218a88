"""Layouts of a supplier's tables: kept once a person confirmed one, and met again by head words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from quotegen.basics.place import Place
from quotegen.intake.answers import read_layouts
from quotegen.intake.files import RawFile, Refused
from quotegen.intake.yaml_tree import read_tree
from quotegen.model.fields import DecimalSign
from quotegen.model.question import Layout, Layouts
from quotegen.taking.fact import Ask
from quotegen.taking.form import scalar

FILE = "layouts.yaml"
ALIKE = Fraction(1, 3)  # of the head words, for a layout to be called changed and not another


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """What the layouts of a supplier say about a file, and a question where its head changed."""

    heads: Mapping[str, str]
    decimal: str | None = None
    per: Fraction | None = None
    day_first: bool | None = None
    changed: Ask | None = None
    is_known: bool = False


def layouts_in(data: bytes | None, path: str) -> tuple[Layout, ...]:
    """The layouts that a supplier's folder keeps; none where the form cannot be read."""
    if data is None:
        return ()
    try:
        tree = read_tree(RawFile(path=path, data=data), "The layouts")
    except Refused:
        return ()
    found, _ = read_layouts(tree, "The layouts")
    return found.layouts if found is not None else ()


def meet(layouts: Sequence[Layout], words: Sequence[tuple[str, ...]], file: Place) -> Met:
    """Which layout the head words of a file's tables are, if any.

    Head words that a person confirmed are known in every file of the supplier; decimal sign and
    price basis hold only where the whole head is the same.
    """
    heads = {word: role for each in layouts for word, role in each.heads.items()}
    for shown in words:
        for layout in layouts:
            if set(layout.words) == set(shown):
                return Met(
                    heads=heads,
                    decimal=layout.decimal.mark if layout.decimal is not None else None,
                    per=Fraction(layout.price_per) if layout.price_per is not None else None,
                    day_first=layout.day_first,
                    is_known=True,
                )
    return Met(heads=heads, changed=_changed(layouts, words, file))


def _changed(
    layouts: Sequence[Layout], words: Sequence[tuple[str, ...]], file: Place
) -> Ask | None:
    for shown in words:
        for layout in layouts:
            before, now = set(layout.words), set(shown)
            if len(before & now) >= ALIKE * len(before | now):
                told = (
                    f"The head of the table is not as it was: new {_listed(now - before)}, gone "
                    f"{_listed(before - now)}. Its prices are read afresh, without what was "
                    "confirmed before. Are they right? Answer in words, or `leave out`."
                )
                seen = ", ".join(shown)
                return Ask(keys=("notes",), seen=seen, place=file, readings=(), ask=told)
    return None


def _listed(words: set[str]) -> str:
    return ", ".join(sorted(f"'{word}'" for word in words)) or "nothing"


def with_layout(layouts: Sequence[Layout], new: Layout) -> tuple[Layout, ...]:
    """The layouts with a new one in place of that of the same head."""
    return (*(each for each in layouts if set(each.words) != set(new.words)), new)


def new_layout(
    words: tuple[str, ...], roles: Mapping[str, str], decimal: str | None, per: Fraction | None
) -> Layout:
    sign = {",": DecimalSign.COMMA, ".": DecimalSign.POINT}.get(decimal or "")
    heads = {word: roles[word] for word in words if word in roles}
    count = int(per) if per is not None and per.denominator == 1 else None
    return Layout(words=words, heads=heads, decimal=sign, price_per=count)


def rendered(layouts: Sequence[Layout]) -> str:
    """The form that keeps the layouts of one supplier."""
    lines = [
        "# How this supplier's tables are read; written once a person had answered about them.",
        "format: 1",
        "layouts:",
    ]
    for each in layouts:
        lines.append("- words: [" + ", ".join(_quoted(word) for word in each.words) + "]")
        if each.heads:
            lines.append("  heads:")
            lines += [f"    {_quoted(word)}: {scalar(role)}" for word, role in each.heads.items()]
        if each.decimal is not None:
            lines.append(f"  decimal: {each.decimal.value}")
        if each.price_per is not None:
            lines.append(f"  price per: {each.price_per}")
        if each.day_first is not None:
            lines.append(f"  day first: {'yes' if each.day_first else 'no'}")
    assert_forms = Layouts(format=1, layouts=tuple(layouts))
    return "\n".join(lines) + "\n" if assert_forms.layouts else ""


def _quoted(text: str) -> str:
    import json

    return json.dumps(text, ensure_ascii=False)
