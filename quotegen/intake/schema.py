"""JSON Schemas of the forms, so that an editor completes keys and marks what does not fit."""

from __future__ import annotations

import copy
import json
from collections.abc import Mapping
from typing import Any

from pydantic.json_schema import GenerateJsonSchema

from quotegen.model.fields import Form
from quotegen.model.orders import Orders
from quotegen.model.part import Part
from quotegen.model.question import Question, Taken
from quotegen.model.quote import Quote
from quotegen.model.reading import CellReference, Reading
from quotegen.model.supplier import Supplier
from quotegen.model.workshop import Workshop

DRAFT = "https://json-schema.org/draft/2020-12/schema"
A_CELL = {"$ref": "#/$defs/CellReference"}

Schema = dict[str, Any]


def schemas() -> Mapping[str, str]:
    """The JSON Schema (draft 2020-12) of each kind of form, by its name, as text for a file."""
    return {
        "workshop": _text(_schema_of(Workshop)),
        "part": _text(_schema_of(Part)),
        "orders": _text(_schema_of(Orders)),
        "supplier": _text(_schema_of(Supplier)),
        "quote": _text(_schema_of_quotes()),
        "reading-form": _text(_schema_of_reading_forms()),
    }


def _text(schema: Schema) -> str:
    whole = {"$schema": DRAFT, **schema}
    return json.dumps(whole, indent=2, sort_keys=True, ensure_ascii=False) + "\n"


class _Generator(GenerateJsonSchema):
    """Leaves out a default that JSON cannot say, such as a fraction, without a warning."""

    ignored_warning_kinds = {"skipped-choice", "non-serializable-default"}  # noqa: RUF012


def _schema_of(kind: type[Form]) -> Schema:
    schema = kind.model_json_schema(by_alias=True, schema_generator=_Generator)
    for form in (schema, *schema.get("$defs", {}).values()):
        for key, value in form.get("properties", {}).items():
            form["properties"][key] = _never_null(value)
    return schema


def _never_null(schema: Schema) -> Schema:
    """A key that may be left out, but never stand there with nothing behind it."""
    options: list[Schema] = [each for each in schema.get("anyOf", []) if each.get("type") != "null"]
    kept = {key: value for key, value in schema.items() if key not in {"anyOf", "default", "title"}}
    if schema.get("default") is not None:
        kept["default"] = schema["default"]
    if len(options) == 1:
        return options[0] | kept
    return kept | ({"anyOf": options} if options else {})


def _schema_of_quotes() -> Schema:
    """A quote form may hold questions, and say which file it was drafted from."""
    schema = _schema_of(Quote)
    for kind in (Question, Taken):
        inner = _schema_of(kind)
        schema["$defs"] |= inner.pop("$defs", {})
        schema["$defs"][kind.__name__] = inner
    questions = {"type": "array", "items": {"$ref": "#/$defs/Question"}}
    schema["properties"] |= {"questions": questions, "taken": {"$ref": "#/$defs/Taken"}}
    return schema


def _schema_of_reading_forms() -> Schema:
    """A reading form holds a quote whose prices and other values may stand in a file."""
    schema, quote = _schema_of(Reading), _schema_of(Quote)
    inside = {name: _with_cells(form) for name, form in quote.pop("$defs").items()}
    inside["Item"]["required"] = [key for key in inside["Item"]["required"] if key != "prices"]
    quote["required"] = [key for key in quote["required"] if key != "format"]
    inside["Quote"] = _with_cells(quote)
    inside["CellReference"] = _schema_of(CellReference)
    schema["$defs"] = {**schema.get("$defs", {}), **inside}
    schema["properties"]["quote"] = {"$ref": "#/$defs/Quote"}
    return schema


def _with_cells(form: Schema) -> Schema:
    """The same form, each single value of which may be a cell instead."""
    form = copy.deepcopy(form)
    for key, value in form.get("properties", {}).items():
        is_single = value.get("type") != "array" and "$ref" not in value and "anyOf" not in value
        if is_single:
            form["properties"][key] = {"anyOf": [value, A_CELL]}
    return form
