"""What is said of a tool, and of which: cavities, life, owner, how long it takes, how it is paid.

While lines are read these stand under keys that begin with `tool`; a third key says of which tools
they are said: those of an item, or `all`. In the end each is put to its tool, or asked about.
"""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Sequence
from typing import Any

from quotegen.basics.money import written
from quotegen.basics.place import Place
from quotegen.intake.yaml_tree import Keys
from quotegen.taking.context import Reader
from quotegen.taking.fact import Ask, Fact, Findings, Kept, once
from quotegen.taking.figures import NUMBER, readings_of
from quotegen.taking.words import KINDS, fold

ALL = "all"
_OF_TOOL = re.compile(
    rf"(?<!\w)(?:{KINDS['tool']}|\w*werkzeug\w*|\w*form(?:en)?kosten)(?!freigabe)"
)
_APPROVED = re.compile(r"\w*werkzeugfreigabe\w*|tool(?:ing)? approval|approval of (?:the )?tools?")
_NO_TOOL = re.compile(
    r"(?<!\w)(?:no|without|free of|kein\w*|ohne|pas d'|sans|geen|zonder|bez|nessun\w*|senza) ?"
    r"(?:further |extra |weitere[ns]? )?"
    r"(?:tool\w*|dies?|mou?lds?|patterns?|\w*werkzeug\w*|modell\w*|outillage\w*|moules?|matrij\w*|"
    r"gereedschap\w*|narzedz\w*|oprzyrzadowani\w*|attrezzatur\w*|stamp[oi])(?!\w)"
)
_MANY = re.compile(
    r"(?<!\w)(?:tools|(?:the|all|our|your|both) dies|mou?lds|patterns|tooling|werkzeuge|formen|"
    r"modelle|\w+kosten|"
    r"matrijzen|gereedschappen|outillages?|moules|narzedzia|formy|stampi|attrezzature|"
    r"(?:each|per|je|pro|all|every|jedes) (?:tool|die|mou?ld|pattern|werkzeug|form))(?!\w)"
)
_CAVITIES = re.compile(
    r"(?<![\d+.,x/])(?P<count>\d{1,3})[ -]*(?:cavit(?:y|ies)|cav\.|fach\w*|nest(?:er)?\b|"
    r"voudig|empreintes?|"
    r"gniazd\w*|krotn\w*|kavitat\w*|impressions?|figure\b|impronte?)\b|"
    r"\bcavit(?:y|ies)\W{1,3}(?P<behind>\d{1,3})|"
    r"\b(?P<word>single|one|two|four|eight|einfach|zweifach|vierfach|achtfach)[ -]?"
    r"(?:cavity|impression|(?<=fach)(?:werkzeug|form)?\b)"
)
_COUNTS = {
    "single": 1, "one": 1, "two": 2, "four": 4, "eight": 8,
    "einfach": 1, "zweifach": 2, "vierfach": 4, "achtfach": 8,
}  # fmt: skip
_LIFE = re.compile(
    rf"(?<![\d.,])(?P<count>{NUMBER})(?P<thousand>\s?(?:k|tsd\.?|t(?:ausend)?|thousand|mille)\b)?\s*"
    r"(?:shots|schuss|abgusse?n?|schoten|injections|strzal\w*|wtrysk\w*|stampate|"
    r"cycles|zyklen|pours|castings guaranteed|abformungen)\b"
)
_OWNED = re.compile(
    r"(?:property|owned by|ownership|eigentum|eigendom|propriete|wlasnosc|proprieta|belongs? to|"
    r"gehor\w*)\W*(?P<who>[^.;]{0,90})"
)
OURS = re.compile(
    r"customer|buyer|koper|nabywc\w*|acquirente|client|kunde\w*|besteller|auftraggeber|klant|yours?\b|\byou\b|votre|\buw\b|vostr[ao]|ihr\b|ihnen|ihre[sm]?\b|"
    r"acheteur|klienta|cliente|opdrachtgever"
)
THEIRS = re.compile(
    r"supplier|seller|\bour\b|\bus\b|\bours\b|unser|\buns\b|notre|nostr[ao]|\bonze?\b|nasz\w*|lieferant|lieferer|auftragnehmer|"
    r"leverancier|fournisseur|dostawcy|fornitore|foundry|giesserei|works\b|moulder"
)


def is_of_tool(words: str) -> bool:
    """Whether folded words speak of a tool that we pay for, not of an event such as its release."""
    return _OF_TOOL.search(_NO_TOOL.sub(" ", _APPROVED.sub(" ", words))) is not None


def tool_facts(reader: Reader) -> None:
    """Cavities, life and owner of a tool, wherever they are said."""
    cavities = _CAVITIES.search(reader.folded)
    if cavities is not None:
        count = cavities["count"] or cavities["behind"] or str(_COUNTS[cavities["word"]])
        if count != "0":
            reader.fact(("tool", "cavities"), count, cavities[0])
    life = _LIFE.search(reader.folded)
    if life is not None:
        times = 1000 if life["thousand"] else 1
        values = readings_of(life["count"], reader.context.signs)
        if len(values) > 1:  # shots are whole: `20.000` is not twenty with three decimals
            values = (max(values),)
        words = tuple(written(each * times) for each in values if (each * times).denominator == 1)
        reader.either(("tool", "life"), words, life[0], "How many shots does the tool last?")
    _owner(reader)


def _owner(reader: Reader) -> None:
    owned = _OWNED.search(reader.folded)
    if owned is None or not is_of_tool(reader.folded):
        return
    near = reader.folded[max(0, owned.start() - 30) : owned.end()]
    ours, theirs = OURS.search(near), THEIRS.search(near)
    if bool(ours) != bool(theirs):
        reader.fact(("tool", "owner"), "buyer" if ours else "supplier", owned[0])
    else:
        reader.ask(("tool", "owner"), ("buyer", "supplier"), owned[0], "Who owns the tool?")


def bind(reader: Reader) -> None:
    """What a line says of a tool goes to the tool whose price it names; else it says of which."""
    found = reader.found
    said = [each for each in found.facts if each.keys[0] == "tool"]
    if not said:
        return
    tools = [each for each in found.facts if each.keys[-1] == "tools"]
    doubted = [each for each in found.asks if each.keys[-1] == "tools"]
    rest = [each for each in found.facts if each.keys[0] != "tool"]
    more = {str(each.keys[1]): each.value for each in said}
    if len(tools) + len(doubted) == 1 and len(more) == len(said):
        found.facts[:] = [_with(each, more) if each in tools else each for each in rest]
        found.asks[:] = [_ask_with(each, more) if each in doubted else each for each in found.asks]
        return
    items = reader.context.named_in(reader.line.text)
    scopes: tuple[str | int, ...] = items or ((ALL,) if _MANY.search(reader.folded) else ())
    if scopes:
        said = [
            dataclasses.replace(each, keys=(*each.keys, scope)) for each in said for scope in scopes
        ]
    found.facts[:] = [*rest, *said]


def _with(fact: Fact, more: dict[str, Any]) -> Fact:
    return dataclasses.replace(fact, value={**fact.value, **more})


def _ask_with(ask: Ask, more: dict[str, Any]) -> Ask:
    readings = tuple({**each, **more} if isinstance(each, dict) else each for each in ask.readings)
    return dataclasses.replace(ask, readings=readings)


def resolve(found: Findings) -> None:
    """Tools get their names; what is said of a tool goes to it, or is asked of each it can be."""
    _once_told(found)
    _numbered(found)
    said = [each for each in found.facts if each.keys[0] == "tool"]
    found.facts[:] = [each for each in found.facts if each.keys[0] != "tool"]
    unclear: dict[Place, list[Fact]] = {}
    for each in said:
        scope = each.keys[2] if len(each.keys) > 2 else None
        fitting = [
            one for one in _tools(found)
            if scope in (None, ALL) or one.keys[1:2] == (scope,)
        ]  # fmt: skip
        if not fitting:
            told = f"Of a tool, {each.keys[1]}: {each.seen}"
            found.kept.append(Kept(text=told, place=each.place))
        elif scope == ALL or len(fitting) == 1:
            for one in fitting:
                _put(found, one, each)
        else:
            unclear.setdefault(each.place, []).append(each)
    tools = _tools(found)
    for together in unclear.values():
        scope = together[0].keys[2] if len(together[0].keys) > 2 else None
        found.asks += [
            _which(one, together) for one in tools if scope is None or one.keys[1:2] == (scope,)
        ]
    _without_tool(found)


def _tools(found: Findings) -> list[Fact | Ask]:
    facts: list[Fact | Ask] = [
        each for each in found.facts if each.keys[-1] == "tools" and isinstance(each.value, dict)
    ]
    return facts + [each for each in found.asks if each.keys[-1] == "tools" and _group(each)]


def _group(one: Fact | Ask) -> dict[str, Any]:
    """A tool as its fact says, or as the likeliest reading of its question."""
    value = one.value if isinstance(one, Fact) else next(iter(one.readings), None)
    return dict(value) if isinstance(value, dict) else {}


def _once_told(found: Findings) -> None:
    """A tool that two files of one message name is one tool; where they differ it is asked."""
    kept: list[Fact] = []
    for each in found.facts:
        same = _told_before(each, kept) if each.keys[-1] == "tools" else None
        if same is None:
            kept.append(each)
        elif not _is_like(same, each):
            found.asks.append(_one_or_two(same, each))
            kept.remove(same)
        else:
            kept[_at(kept, same)] = _with(same, {**each.value, **same.value})
    found.facts[:] = kept


def _told_before(fact: Fact, kept: Sequence[Fact]) -> Fact | None:
    """The tool of another file that has the name or the price of this one."""
    return next(
        (
            each for each in kept
            if each.keys == fact.keys and isinstance(each.value, dict)
            and isinstance(fact.value, dict) and each.place.path != fact.place.path
            and (_name(each) == _name(fact) or each.value["price"] == fact.value["price"])
        ),
        None,
    )  # fmt: skip


def _name(fact: Fact) -> str:
    return " ".join(sorted(set(re.findall(r"[a-z]{3,}", fold(str(fact.value.get("what", "")))))))


def _is_like(one: Fact, two: Fact) -> bool:
    both = one.value.keys() & two.value.keys() - {"what"}
    return _name(one) == _name(two) and all(one.value[key] == two.value[key] for key in both)


def _one_or_two(one: Fact, two: Fact) -> Ask:
    first, second = one.value, two.value
    ask = (
        f"Two files of one message name a tool: {first['what']}, {first['price']} ({one.place}) "
        f"and {second['what']}, {second['price']} ({two.place}). Which holds? It is taken for one "
        "tool; add the other by hand if it is another."
    )
    readings = once([first, second])
    return Ask(keys=one.keys, seen=one.seen, place=one.place, readings=readings, ask=ask)


def _numbered(found: Findings) -> None:
    """Each tool its own name, so that an answer about one does not take another's place."""
    number = 0
    for at, fact in enumerate(found.facts):
        if fact.keys[-1] == "tools" and isinstance(fact.value, dict):
            number += 1
            named = {"tool": f"tool {number}", **fact.value}
            found.facts[at] = dataclasses.replace(fact, value=named)
    for at, ask in enumerate(found.asks):
        if ask.keys[-1] == "tools" and _group(ask):
            number += 1
            name = f"tool {number}"
            readings = tuple(_named(each, name) for each in ask.readings)
            found.asks[at] = dataclasses.replace(ask, readings=readings)


def _named(value: Any, name: str) -> Any:
    if not isinstance(value, dict):
        return value
    return {"tool": name, **{key: each for key, each in value.items() if key != "tool"}}


def _put(found: Findings, one: Fact | Ask, said: Fact) -> None:
    """Adds what is said to a tool; where it says otherwise already, that is a question."""
    key, known = str(said.keys[1]), _group(one)
    if isinstance(one, Ask):
        found.asks[_at(found.asks, one)] = _ask_with(one, {key: known.get(key, said.value)})
        return
    if known.get(key, said.value) == said.value:
        found.facts[_at(found.facts, one)] = _with(one, {key: said.value})
        return
    ask = (
        f"Two values are said for `{key}` of the tool: {_words(known[key])} and "
        f"{_words(said.value)}. Which holds?"
    )
    readings = once([known, {**known, key: said.value}])
    made = Ask(keys=one.keys, seen=said.seen, place=said.place, readings=readings, ask=ask)
    del found.facts[_at(found.facts, one)]
    found.asks.append(made)


def _at(held: Sequence[Fact | Ask], one: Fact | Ask) -> int:
    return next(at for at, each in enumerate(held) if each is one)


def _words(value: Any) -> str:
    if isinstance(value, list):
        return ", ".join(" ".join(str(part) for part in each.values()) for each in value)
    return str(value)


def _which(one: Fact | Ask, said: Sequence[Fact]) -> Ask:
    known, more = _group(one), {str(each.keys[1]): each.value for each in said}
    ask = (
        f"This is said of a tool, and there are several. Is it {known.get('tool')} "
        f"({known.get('what', '')})? `leave out` if it is another."
    )
    first, seen = said[0], "; ".join(dict.fromkeys(each.seen for each in said))
    readings = ({**known, **more},)
    return Ask(keys=one.keys, seen=seen, place=first.place, readings=readings, ask=ask)


def _without_tool(found: Findings) -> None:
    """A doubt about a tool as such is put to the only one there is, else asked in words."""
    tools = [each for each in found.facts if each.keys[-1] == "tools"]
    for at, ask in enumerate(found.asks):
        if ask.keys[0] != "tool":
            continue
        key = str(ask.keys[1])
        if len(tools) == 1 and isinstance(tools[0].value, dict) and ask.readings:
            known = tools[0].value
            keys: Keys = tools[0].keys
            readings = tuple({**known, key: each} for each in ask.readings)
            found.asks[at] = dataclasses.replace(ask, keys=keys, readings=readings)
            continue
        told = f"{ask.ask} It is said of a tool: write it there, and here in words."
        found.asks[at] = dataclasses.replace(ask, keys=("notes",), ask=told, readings=())
