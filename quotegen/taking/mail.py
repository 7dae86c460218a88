"""An e-mail as seen: its own words, older mail set apart, and the files that came with it.

The name of an attachment is text to show and never a path.
"""

from __future__ import annotations

import dataclasses
import datetime
import email
import re
from collections.abc import Callable, Iterable, Iterator
from email import policy
from email.headerregistry import BaseHeader, HeaderRegistry
from email.message import EmailMessage, Message
from pathlib import PurePosixPath
from typing import Any

from quotegen.basics.place import Place
from quotegen.basics.problem import Problem
from quotegen.intake.files import RawFile, Refused, printable
from quotegen.taking.fact import Fact, Findings, Sure
from quotegen.taking.plain import tables_and_lines
from quotegen.taking.seen import Line, Remark, Seen, Sheet

MOST_PARTS = 50
MOST_READ = 10  # attachments that are opened
MANY_CELLS = 20_000  # after so many in its attachments no more of them are opened
DEEPEST = 20
LONGEST_BODY = 500_000
LONGEST_HEAD = 4000  # letters; RFC 5322 allows 998 on a line

See = Callable[[RawFile, str], Seen | None]

OLDER = re.compile(
    r"^\s*(?:-{2,}\s*(?:original message|forwarded message|ursprungliche nachricht|"
    r"urspr\u00fcngliche nachricht|oorspronkelijk bericht|message d'origine|"
    r"wiadomo\u015b\u0107 oryginalna)|"
    r"_{10,}$|(?:on|am|op|le|w dniu) .{4,90}(?:wrote|schrieb.*|schreef.*|a \u00e9crit|"
    r"napisa\u0142.*):\s*$|"
    r"(?:from|von|van|de|od): .+@.+)", re.IGNORECASE
)  # fmt: skip


class _Heads(HeaderRegistry):
    """Heads as the library reads them, which takes ever longer for long ones: cut before."""

    def __call__(self, name: str, value: Any) -> BaseHeader:
        return super().__call__(name, value[:LONGEST_HEAD])


POLICY = policy.default.clone(header_factory=_Heads())


def see_mail(raw: RawFile, record: str, see: See) -> Seen:
    """see opens an attachment by its name and bytes; None where its kind is not read.

    Raises Refused: file-kind.
    """
    message = _opened(raw, record)
    remarks: list[Remark] = []
    sheets: tuple[Sheet, ...] = ()
    lines: list[Line] = []
    inside: list[Seen] = []
    bodies = attached = 0
    for part in _leaves(message, raw, record):
        name = part.get_filename()
        if name is None and part.get_content_maintype() == "text":
            text, told = _text(part)
            remarks += [Remark(text=each, place=raw.place, is_matter=True) for each in told]
            if part.get_content_subtype() == "html" and bodies:
                continue
            bodies += 1
            found = tables_and_lines(_without_tags(text, part), raw.place)
            sheets, remarks = sheets + found[0], remarks + list(found[2])
            lines += found[1]
        else:
            attached += part.get_content_maintype() != "image"
            is_beyond = attached > MOST_READ or _cells(inside) > MANY_CELLS
            _attached(part, name, raw, _none if is_beyond else see, inside, remarks)
    return Seen(
        kind="mail",
        place=raw.place,
        sheets=sheets,
        lines=_subject(message, raw) + _apart(lines),
        remarks=tuple(remarks),
        found=_heads(message, raw),
        is_draft=True,
        parts=tuple(inside),
    )


def _opened(raw: RawFile, record: str) -> EmailMessage:
    try:
        message = email.message_from_bytes(raw.data, policy=POLICY)
        _ = message.keys()
    except (RecursionError, ValueError, LookupError) as error:
        raise _not_mail(raw, record, type(error).__name__) from error
    if not message.keys():
        raise _not_mail(raw, record, "text without the head of a mail")
    return message


def _not_mail(raw: RawFile, record: str, seen: str) -> Refused:
    return Refused(
        Problem.of("file-kind", raw.place, seen=seen, expected="an e-mail", record=record)
    )


def _leaves(message: EmailMessage, raw: RawFile, record: str) -> Iterator[EmailMessage]:
    """The parts that hold something, by a walk that is bounded in depth and number."""
    waiting: list[tuple[Message, int]] = [(message, 0)]
    count = 0
    while waiting:
        part, depth = waiting.pop(0)
        count += 1
        if depth > DEEPEST or count > MOST_PARTS:
            raise _not_mail(raw, record, "one of too many parts")
        inner = part.get_payload()
        if isinstance(inner, list):
            waiting = [(each, depth + 1) for each in inner if isinstance(each, Message)] + waiting
        elif isinstance(part, EmailMessage):
            yield part


def _text(part: EmailMessage) -> tuple[str, list[str]]:
    told = []
    try:
        payload = part.get_payload(decode=True)
        data = payload if isinstance(payload, bytes) else b""
        charset = part.get_content_charset() or "utf-8"
        text = data.decode(charset)
    except UnicodeDecodeError:
        text = data.decode(charset, errors="replace")
        told.append(f"Some letters are not in the character set {printable(charset)}.")
    except (LookupError, ValueError):
        text = data.decode("windows-1252", errors="replace")
        told.append("The mail names a character set that is not known; it is read as windows-1252.")
    if len(text) > LONGEST_BODY:
        told.append(f"Only the first {LONGEST_BODY:,} characters of the mail are read.")
    return text[:LONGEST_BODY].replace("\0", " "), told


def _without_tags(text: str, part: EmailMessage) -> str:
    """The words of an HTML body; a mail as we show it is text."""
    if part.get_content_subtype() != "html":
        return text
    import html

    bare = re.sub(r"(?i)</t[dh]\s*>", "\t", "".join(_shown(text)))
    bare = re.sub(r"(?i)<br\s*/?>|</(?:p|div|tr|li|h\d|table)\s*>", "\n", bare)
    return html.unescape(re.sub(r"<[^<>]{0,5000}>", " ", bare))


def _shown(text: str) -> Iterator[str]:
    """What of an HTML text is neither script nor style nor head; a body ends all of them."""
    is_shown = True
    for at, piece in enumerate(re.split(r"(?i)(<(?:/?(?:script|style|head)|body)\b)", text)):
        if at % 2:
            is_shown = piece[1].lower() in "/b"
        elif is_shown:
            yield piece if not at else f"<{piece}"


def _apart(lines: list[Line]) -> tuple[Line, ...]:
    """The lines, those marked that an older message begins with or repeats."""
    found, older = [], False
    for line in lines:
        older = older or OLDER.match(line.text) is not None
        found.append(dataclasses.replace(line, quoted=line.quoted or older))
    return tuple(found)


def _subject(message: EmailMessage, raw: RawFile) -> tuple[Line, ...]:
    subject = printable(" ".join(str(message.get("subject", "")).split()))
    if not subject:
        return ()
    return (Line(text=subject[:500], place=Place(raw.path, 1, 1), quoted=False),)


def _heads(message: EmailMessage, raw: RawFile) -> Findings:
    """The day of the mail, for want of a better date."""
    try:
        stamp = getattr(message.get("date"), "datetime", None)
    except (ValueError, TypeError, IndexError, OverflowError):
        stamp = None
    if not isinstance(stamp, datetime.datetime):
        return Findings()
    day = stamp.date().isoformat()
    made = Fact(
        keys=("mailed",), value=day, seen=printable(str(message["date"])),
        place=Place(raw.path, 1, 1), sure=Sure.SHOWN,
    )  # fmt: skip
    return Findings(facts=[made])


def _attached(
    part: EmailMessage, name: str | None, raw: RawFile, see: See,
    inside: list[Seen], remarks: list[Remark],
) -> None:  # fmt: skip
    """An attachment is read like a file of its own; what cannot be read is told."""
    shown = printable(PurePosixPath((name or "without a name").replace("\\", "/")).name)[:100]
    try:
        payload = part.get_payload(decode=True)
    except (ValueError, LookupError):
        payload = None
    data = payload if isinstance(payload, bytes) else b""
    beside = RawFile(path=f"{raw.path}/{shown}", data=data)
    problem: Problem | None = None
    seen: Seen | None = None
    try:
        seen = see(beside, f"The attachment {shown}") if data.strip() else None
    except Refused as refused:
        problem = refused.problem
    if seen is not None:
        inside.append(seen)
    elif part.get_content_maintype() != "image" or name:
        why = problem.message if problem is not None else "It is of a kind that is not read here."
        told = f"The attachment {shown} is not read: {why}"
        is_matter = part.get_content_maintype() != "image"
        remarks.append(Remark(text=told, place=raw.place, is_matter=is_matter))


def _none(raw: RawFile, record: str) -> Seen:
    """Instead of a reader, where the attachments before were as much as is read of one mail."""
    expected = f"at most {MOST_READ} attachments of {MANY_CELLS:,} cells in all"
    values = {"seen": "one too many", "expected": expected}
    raise Refused(Problem.of("file-kind", raw.place, **values, record=record))


def _cells(inside: Iterable[Seen]) -> int:
    return sum(len(row) for seen in inside for sheet in seen.sheets for row in sheet.grid.rows)
