"""How a record is laid out in its file, and the fingerprint that an edit would change.

A record is Markdown with YAML front matter. One tree and one body have exactly one layout,
so a file that differs from it was touched. What may change under way is how lines end, a
byte order mark, and whether letters are composed.
"""

from __future__ import annotations

import hashlib
import json
import re
import unicodedata
from collections.abc import Iterator, Mapping
from typing import Any

import rfc8785

from quotegen.model.text import LONGEST_TEXT

FENCE = b"---\n"
BYTE_ORDER_MARK = b"\xef\xbb\xbf"
JOINERS = "\N{ZERO WIDTH JOINER}\N{ZERO WIDTH NON-JOINER}"

# Written without quotes only what every YAML reader takes for the same text, or for that day.
PLAIN = re.compile(
    r"[A-Za-z](?:[\w ,.;()'%+/&=<>-]|:(?=\S))*|\d{4}-\d\d-\d\d|-?\d+(?:\.\d+)? [A-Z]{3}", re.ASCII
)
WORDS_OF_YAML = {"y", "n", "yes", "no", "on", "off", "true", "false", "null"}


def split(data: bytes) -> tuple[bytes, bytes] | None:
    """The front matter with its opening fence, and what follows the closing one.

    None where the file does not begin with a front matter. The first line `---` after the
    opening closes it, so that prose may hold such lines.
    """
    text = data.removeprefix(BYTE_ORDER_MARK).replace(b"\r\n", b"\n")
    end = text.find(b"\n" + FENCE, len(FENCE) - 1)
    if not text.startswith(FENCE) or end < 0:
        return None
    return text[: end + 1], text[end + 1 + len(FENCE) :]


def rendered(tree: Mapping[str, Any], body: str) -> str:
    """The only layout of a record; the first key is always `format: 1`."""
    rest = {key: value for key, value in tree.items() if key != "format"}
    front = "\n".join(["format: 1", *_group(rest)])
    return f"---\n{front}\n---\n\n{body}\n"


def fingerprint_of(tree: Mapping[str, Any], body: str) -> str:
    """`sha256:` of the canonical JSON (RFC 8785) of facts and body.

    The fingerprint itself is left out; every number is a text, every text in Normalisation
    Form C.
    """
    facts = {key: value for key, value in tree.items() if key != "fingerprint"}
    canonical = rfc8785.dumps(_composed({"body": body, "facts": facts}))
    return "sha256:" + hashlib.sha256(canonical).hexdigest()


def _composed(value: Any) -> Any:
    if isinstance(value, str):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, dict):
        return {_composed(key): _composed(inner) for key, inner in value.items()}
    return [_composed(inner) for inner in value] if isinstance(value, list) else value


def one_line(text: str) -> str:
    """A text as it stands in the front matter: one line, composed, nothing invisible."""
    shown = "".join(_shown(mark) for mark in " ".join(text.split()))
    composed = unicodedata.normalize("NFC", shown)
    if len(composed) <= LONGEST_TEXT:
        return composed
    return composed[: LONGEST_TEXT - 1].rstrip() + "\N{HORIZONTAL ELLIPSIS}"


def prose(text: str) -> str:
    """A text as it stands in the body: lines end in LF, nothing invisible but tabs and joiners."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").strip()
    shown = "".join(mark if mark in "\n\t" else _shown(mark) for mark in lines)
    return unicodedata.normalize("NFC", shown)


def _shown(mark: str) -> str:
    """Control characters, lone surrogates and turns of direction could mislead a reader."""
    is_seen = mark.isprintable() or mark in JOINERS or unicodedata.category(mark) == "Zs"
    return mark if is_seen else "\N{REPLACEMENT CHARACTER}"


def _group(values: Mapping[str, Any]) -> Iterator[str]:
    for key, value in values.items():
        inner = list(_inside(value))
        if inner:
            yield f"{_scalar(key)}:"
            yield from inner
        else:
            yield f"{_scalar(key)}: {_scalar(value)}"


def _inside(value: Any) -> Iterator[str]:
    """The lines of a group, indented, or of a list; none for what fits on the key's line."""
    if isinstance(value, dict):
        yield from (f"  {line}" for line in _group(value))
    elif isinstance(value, list):
        for each in value:
            first, *more = list(_inside(each)) or [f"  {_scalar(each)}"]
            yield f"- {first[2:]}"
            yield from more


def _scalar(value: Any) -> str:
    if not isinstance(value, str):
        return json.dumps(value)
    if PLAIN.fullmatch(value) and value.lower() not in WORDS_OF_YAML and value == value.rstrip():
        return value
    return json.dumps(value, ensure_ascii=False)
