"""The draft as a form: facts with their place and text behind them, then the questions."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from quotegen.basics.visible import visible
from quotegen.intake.answers import LISTS
from quotegen.intake.yaml_tree import in_words
from quotegen.taking.fact import Ask, Fact, Findings, Sure

ORDER = (
    "format", "quote", "date", "valid until", "valid for", "currency", "pay in", "delivery",
    "payment", "tax included", "replaces", "minimum value", "charges", "items",
)  # fmt: skip
ITEM_ORDER = ("part", "revision", "process", "material", "prices")
LAST = ("terms", "note", "notes")
PLAIN = re.compile(
    r"[A-Za-z](?:[\w .()'%+/=<>-]|,(?=\S)|:(?=\S))*|\d{4}-\d\d-\d\d|"
    r"\d+(?:\.\d+)? [A-Za-z%][\w %]*|\d+"
)
WORDS_OF_YAML = {"y", "n", "yes", "no", "on", "off", "true", "false", "null"}
LONGEST_SEEN = 90
CUT = "\N{HORIZONTAL ELLIPSIS}"
BY_HAND = "by hand; the file: "  # before the place of a value that a person changed


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """A value and the remark behind it."""

    value: Any
    remark: str = ""


HERE = "this form"  # the place of a value that only the form says
HEAD = (
    "Behind each value stands where it was written, and how.",
    "What is in doubt stands under `questions`: answer there, or correct a value above.",
)
QUESTIONS_HEAD = "each waits for an answer: one of its readings, your own, or leave out"

Node = Any  # dict of nodes, list of nodes, or Written


def tree_of(found: Findings) -> dict[str, Any]:
    """The facts as a tree of written values, in the order in which a person reads a quote."""
    root: dict[str, Any] = {}
    for fact in found.facts:
        _put(root, fact)
    keys = [*(each.keys for each in found.facts), *(each.keys for each in found.asks)]
    indexes = [each[1] for each in keys if each[0] == "items"]
    items = root.setdefault("items", {})
    for index in range(max((int(each) for each in indexes), default=0) + 1):
        item = items.setdefault(index, {})
        item.setdefault("prices", [])
    root["items"] = [_ordered(items[index], ITEM_ORDER) for index in sorted(items)]
    if found.kept:
        root.setdefault("notes", []).extend(
            Written(value=_text(each.text), remark=str(each.place)) for each in found.kept
        )
    return _ordered(root, ORDER)


def _put(root: dict[str, Any], fact: Fact) -> None:
    holder: Any = root
    for key in fact.keys[:-1]:
        holder = holder.setdefault(key, {})
    made = _written(fact.value, _remark(fact))
    if fact.keys[-1] in LISTS:
        holder.setdefault(fact.keys[-1], []).append(made)
    else:
        holder[fact.keys[-1]] = made


def _written(value: Any, remark: str) -> Node:
    """A group bears its remark behind its first value."""
    if isinstance(value, dict) and value:
        keys = list(value)
        return {key: _written(value[key], remark if key == keys[0] else "") for key in keys}
    if isinstance(value, (list, tuple)):
        return [_written(each, remark if at == 0 else "") for at, each in enumerate(value)]
    return Written(value=_text(str(value)), remark=remark)


def _text(text: str) -> str:
    return " ".join(visible(text).split())[:1990]


def _remark(fact: Fact) -> str:
    """Where a value stands and, in quotation marks, the text as written."""
    seen = shortened(fact.seen)
    where = visible(str(fact.place))
    told = f"{where}: {json.dumps(seen, ensure_ascii=False)}" if seen else where
    return f"{BY_HAND}{told}" if fact.sure is Sure.BY_HAND else told


def shortened(seen: str) -> str:
    """A text as written, as a remark shows it."""
    shown = " ".join(visible(seen).split())
    return shown if len(shown) <= LONGEST_SEEN else shown[: LONGEST_SEEN - 1] + CUT


def _ordered(group: Mapping[Any, Any], order: Sequence[str]) -> dict[str, Any]:
    def rank(key: Any) -> int:
        if key in order:
            return order.index(key)
        return len(order) + (1 + LAST.index(key) if key in LAST else 0)

    return {str(key): group[key] for key in sorted(group, key=rank)}


def plain_tree(node: Node) -> Any:
    """The values alone."""
    if isinstance(node, Written):
        return node.value
    if isinstance(node, dict):
        return {key: plain_tree(inner) for key, inner in node.items()}
    return [plain_tree(inner) for inner in node]


@dataclass(frozen=True, slots=True, kw_only=True)
class AnsweredAsk:
    """A question of a form, and the answer where there is one."""

    ask: Ask
    answer: Any = None


def rendered(
    tree: Mapping[str, Any],
    asks: Sequence[AnsweredAsk],
    taken: Mapping[str, Any],
    head: Sequence[str],
) -> str:
    """The text of a form."""
    lines = [*(f"# {visible(line)}" for line in head), "format: 1"]
    lines += list(_group(tree, 0))
    if asks:
        lines += [f"questions:  # {QUESTIONS_HEAD}"]
        for each in asks:
            lines += list(_question(each))
    if taken:
        lines += ["taken:", *(f"  {key}: {flow(value)}" for key, value in taken.items())]
    return "\n".join(lines) + "\n"


def _group(tree: Mapping[str, Any], depth: int) -> Iterator[str]:
    indent = "  " * depth
    for key, node in tree.items():
        if isinstance(node, Written):
            yield f"{indent}{scalar(key)}: {scalar(node.value)}{_behind(node)}"
        elif not node:
            yield f"{indent}{scalar(key)}: {'[]' if isinstance(node, list) else '{}'}"
        elif isinstance(node, dict):
            yield f"{indent}{scalar(key)}:"
            yield from _group(node, depth + 1)
        else:
            yield f"{indent}{scalar(key)}:"
            yield from _list(node, depth)


def _list(nodes: Sequence[Any], depth: int) -> Iterator[str]:
    indent = "  " * depth
    for node in nodes:
        if isinstance(node, Written):
            yield f"{indent}- {scalar(node.value)}{_behind(node)}"
            continue
        first, *more = list(_group(node, 0)) if isinstance(node, dict) else list(_list(node, 0))
        yield f"{indent}- {first}"
        yield from (f"{indent}  {line}" for line in more)


def _behind(node: Written) -> str:
    return f"  # {node.remark}" if node.remark else ""


def _question(each: AnsweredAsk) -> Iterator[str]:
    ask = each.ask
    yield f"- field: {scalar(in_words(ask.keys))}"
    if ask.seen.strip():
        yield f"  seen: {scalar(_text(ask.seen))}"
    yield f"  at: {scalar(str(ask.place))}"
    yield f"  ask: {scalar(_text(ask.ask))}"
    if ask.readings:
        yield "  readings:"
        yield from (f"  - {flow(reading)}" for reading in ask.readings)
    yield f"  answer:{'' if each.answer is None else ' ' + flow(each.answer)}"


def flow(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, dict):
        return (
            "{"
            + ", ".join(f"{scalar(str(key))}: {flow(inner)}" for key, inner in value.items())
            + "}"
        )
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(flow(inner) for inner in value) + "]"
    text = _text(str(value))
    return json.dumps(text, ensure_ascii=False) if "," in text else scalar(text)


def scalar(text: str) -> str:
    """A text as every YAML reader takes it for the same text."""
    is_plain = PLAIN.fullmatch(text) is not None and text.lower() not in WORDS_OF_YAML
    if is_plain and text.isascii() and text == text.strip() and " #" not in text:
        return text
    return json.dumps(text, ensure_ascii=False)
