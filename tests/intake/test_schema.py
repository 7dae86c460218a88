"""The schemas that editors use: every form that we read fits, and slips do not."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from quotegen.intake.schema import schemas
from quotegen.model.fields import NOT_QUOTED, Incoterm

DEMO = Path(__file__).parents[2] / "quotes_demo"
Schema = dict[str, Any]


def _misfits(value: Any, schema: Schema, whole: Schema, at: str = "") -> Iterator[str]:
    """What JSON Schema (draft 2020-12) says against a value, for the words that we use."""
    if "$ref" in schema:
        name = schema["$ref"].rpartition("/")[2]
        yield from _misfits(value, whole["$defs"][name], whole, at)
    options = [list(_misfits(value, each, whole, at)) for each in schema.get("anyOf", [])]
    if all(options):
        yield from (misfit for option in options for misfit in option)
    yield from _in_itself(value, schema, at)
    if isinstance(value, dict) and "properties" in schema:
        yield from _in_group(value, schema, whole, at)
    if isinstance(value, list):
        for number, each in enumerate(value):
            yield from _misfits(each, schema.get("items", {}), whole, f"{at}[{number}]")


def _in_itself(value: Any, schema: Schema, at: str) -> Iterator[str]:
    if "const" in schema and value != schema["const"]:
        yield f"{at}: not {schema['const']}"
    if "enum" in schema and value not in schema["enum"]:
        yield f"{at}: {value!r} is none of the words"
    kinds = schema.get("type", [])
    kinds = [kinds] if isinstance(kinds, str) else kinds
    if kinds and not any(_is_a(value, kind) for kind in kinds):
        yield f"{at}: {value!r} is not a {kinds}"
    if "pattern" in schema and isinstance(value, str) and not re.search(schema["pattern"], value):
        yield f"{at}: {value!r} is not like {schema['pattern']}"


def _in_group(value: dict[str, Any], schema: Schema, whole: Schema, at: str) -> Iterator[str]:
    yield from (f"{at}: {key} is missing" for key in schema.get("required", []) if key not in value)
    for key, each in value.items():
        if key in schema["properties"]:
            yield from _misfits(each, schema["properties"][key], whole, f"{at}/{key}")
        elif schema.get("additionalProperties") is False:
            yield f"{at}: {key} is unknown"


def _is_a(value: Any, kind: str) -> bool:
    kinds: Mapping[str, tuple[type, ...]] = {
        "string": (str,),
        "number": (int, float),
        "integer": (int,),
        "object": (dict,),
        "array": (list,),
    }
    return isinstance(value, kinds[kind]) and not isinstance(value, bool)


class _Core(yaml.SafeLoader):
    """As an editor reads YAML 1.2: numbers are numbers, days and yes are texts."""

    yaml_implicit_resolvers = {  # noqa: RUF012
        mark: [(tag, found) for tag, found in resolvers if tag.endswith(("int", "float", "null"))]
        for mark, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
    }


def _read(path: Path) -> Any:
    return yaml.load(path.read_text(encoding="utf-8"), Loader=_Core)  # noqa: S506


def _kind(path: Path, form: Any) -> str:
    below = path.relative_to(DEMO).parts[0]
    if below == "quotes":
        return "reading-form" if "reads" in form else "quote"
    kinds = {"workshop.yaml": "workshop", "parts": "part", "suppliers": "supplier"}
    return (kinds | {"orders": "orders"})[below]


FORMS = [
    path
    for path in sorted(DEMO.rglob("*.yaml"))
    if path.relative_to(DEMO).parts[0] not in ("decisions", "site")
]


@pytest.mark.parametrize("path", FORMS, ids=[str(path.relative_to(DEMO)) for path in FORMS])
def test_every_form_of_the_demo_fits_its_schema(path: Path) -> None:
    """JSON Schema draft 2020-12, the words that we use of it."""
    form = _read(path)
    schema = json.loads(schemas()[_kind(path, form)])
    assert list(_misfits(form, schema, schema)) == []


SLIPS = [
    pytest.param("quote", ["quote: 7"], ["date", "currency", "items"], id="keys that are missing"),
    pytest.param("quote", ["currencies: EUR"], ["currencies is unknown"], id="a key that is not"),
    pytest.param("part", ["mass: heavy"], ["'heavy' is not like"], id="a mass in words"),
    pytest.param("part", ["load: some"], ["'some' is none of the words"], id="an unknown word"),
    pytest.param("part", ["on hand:"], ["None is not a"], id="a key with nothing behind it"),
    pytest.param("workshop", ["format: 2"], ["not 1"], id="another format"),
    pytest.param("supplier", ["processes: machining"], ["is not a ['array']"], id="no list"),
    pytest.param("reading-form", ["decimal: ','"], ["none of the words"], id="a sign for a word"),
    pytest.param(
        "reading-form", ["quote: {items: [{part: {cel: B2}}]}"], ["cel is unknown"], id="a cell"
    ),
]


@pytest.mark.parametrize(("kind", "lines", "expected"), SLIPS)
def test_a_slip_does_not_fit(kind: str, lines: list[str], expected: list[str]) -> None:
    """JSON Schema draft 2020-12, the words that we use of it."""
    schema = json.loads(schemas()[kind])
    form = yaml.load("\n".join(lines), Loader=_Core)  # noqa: S506
    said = "\n".join(_misfits(form, schema, schema))
    assert [word for word in expected if word not in said] == []


PLANNED = """
late costs: 1.50 EUR
late is lost: yes
shelf holds: 60
surplus is worth: 20 %
most from one supplier: 70 %
money tied up at most: 1500 EUR
demand: {low: 1, likely: 60, high: 90, by month: [5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5, 5 pieces]}
"""


def test_what_a_plan_may_hold_to_fits_the_schema_of_a_part() -> None:
    """JSON Schema draft 2020-12, the words that we use of it; what else a part needs is missing."""
    schema = json.loads(schemas()["part"])
    said = list(_misfits(yaml.load(PLANNED, Loader=_Core), schema, schema))  # noqa: S506
    assert [misfit for misfit in said if "is missing" not in misfit] == []


def test_a_tool_may_be_paid_in_shares_as_a_quote_is() -> None:
    """R12: one form of payment in two places."""
    schema = json.loads(schemas()["quote"])
    tool, quote = schema["$defs"]["Tool"]["properties"], schema["properties"]
    assert tool["payment"]["items"] == quote["payment"]["items"] == {"$ref": "#/$defs/Payment"}


def test_schemas_are_texts_for_files() -> None:
    """No source: sorted, one line end at the end, the same on every run."""
    for name, text in schemas().items():
        assert text == schemas()[name]
        again = json.dumps(json.loads(text), indent=2, sort_keys=True, ensure_ascii=False) + "\n"
        assert text == again
    assert list(schemas()) == ["workshop", "part", "orders", "supplier", "quote", "reading-form"]


def test_a_value_that_may_be_absent_says_so() -> None:
    """No source: three kinds of nothing; zero is a value."""
    item = json.loads(schemas()["quote"])["$defs"]["Item"]["properties"]
    assert NOT_QUOTED.value in item["breaks"]["enum"]
    assert re.search(item["lead time"]["pattern"], "not quoted")
    assert not re.search(item["minimum"]["pattern"], "not quoted")


def test_a_delivery_rule_may_stand_on_one_line_or_as_a_group() -> None:
    """ICC publication 723: eleven rules."""
    one_line, group = json.loads(schemas()["quote"])["$defs"]["DeliveryTerm"]["anyOf"]
    assert one_line["type"] == "string"
    assert group["properties"]["rule"]["enum"] == [rule.value for rule in Incoterm]
