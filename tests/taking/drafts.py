"""A small workshop folder, files taken into it, and what the draft says."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from quotegen.intake.folder import read_folder
from quotegen.intake.yaml_tree import in_words
from quotegen.model.entry import Folder
from quotegen.taking.form import flow
from quotegen.taking.take import TakeResult, Wish, take
from tests.folders import a_part, a_supplier, a_workshop
from tests.taking.messy import PARTS

SUPPLIER = "voss"


def a_folder(at: Path, currency: str | None = None, parts: Sequence[str] = PARTS) -> Path:
    """A workshop with three parts and one supplier."""
    supplier = a_supplier(**({"currency": currency} if currency else {}))
    forms: dict[str, Any] = {"workshop": a_workshop(), f"suppliers/{SUPPLIER}": supplier}
    forms |= {f"parts/{part}": a_part(100) for part in parts}
    for path, form in forms.items():
        file = at / f"{path}.yaml"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(yaml.safe_dump(form), encoding="utf-8")
    (at / "quotes" / SUPPLIER).mkdir(parents=True)
    return at


@dataclass(frozen=True, kw_only=True)
class Draft:
    """A form as it stands after a file was taken."""

    result: TakeResult
    form: Mapping[str, Any]
    text: str

    @property
    def facts(self) -> set[tuple[str, str]]:
        """Each fact as its field and its value; a line of a list under the list's name."""
        rest = {k: v for k, v in self.form.items() if k not in BESIDE}
        return set(_facts(rest, ()))

    @property
    def asked(self) -> set[str]:
        return {in_words(each.keys) for each in self.result.open}

    def readings(self, field: str) -> list[str]:
        """The readings of all open questions about a field."""
        return [flow(r) for a in self.result.open if in_words(a.keys) == field for r in a.readings]

    def asks(self, field: str) -> str:
        return " ".join(a.ask for a in self.result.open if in_words(a.keys) == field)


BESIDE = ("format", "notes", "questions", "taken")


def _facts(value: Any, keys: tuple[str | int, ...]) -> Any:
    if isinstance(value, dict) and (not keys or (keys[0] == "items" and len(keys) == 2)):
        for key, inner in value.items():
            yield from _facts(inner, (*keys, key))
    elif isinstance(value, list) and keys == ("items",):
        for number, inner in enumerate(value):
            yield from _facts(inner, (*keys, number))
    elif isinstance(value, list):
        yield from ((in_words(keys), flow(each)) for each in value)
    else:
        yield in_words(keys), flow(value)


def drafted(
    folder: Path, file: Path, supplier: str | None = None, talk: Callable[..., Any] | None = None
) -> Draft:
    result = take(Wish(file=file, folder=folder, supplier=supplier), talk)
    assert result.form is not None, result
    text = result.form.read_text(encoding="utf-8")
    return Draft(result=result, form=yaml.load(text, yaml.BaseLoader), text=text)  # noqa: S506


def taken_text(folder: Path, name: str, content: str) -> Draft:
    file = folder / "quotes" / SUPPLIER / name
    file.write_text(content, encoding="utf-8")
    return drafted(folder, file)


def checked(folder: Path) -> Folder:
    return read_folder(folder)


def codes(folder: Path) -> list[str]:
    return [each.code for each in read_folder(folder).problems]


def answered(draft: Draft, *answers: str) -> None:
    """Writes answers behind the questions of a form, in order."""
    text = draft.text
    for answer in answers:
        text = text.replace("  answer:\n", f"  answer: {answer}\n", 1)
    assert draft.result.form is not None
    draft.result.form.write_text(text, encoding="utf-8")


PLAIN = """\
Quotation Q-12;Date 2026-10-01
Drawing FL-021;
Qty;Price each EUR
50;17,40
100;16,95
250;16,20
"""
