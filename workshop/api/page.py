"""The page that describes the API: read from its own OpenAPI description, so that the two cannot differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from drf_spectacular.generators import SchemaGenerator

Schema = Mapping[str, Any]

_KINDS = {
    "integer": "whole number",
    "number": "number",
    "string": "text",
    "boolean": "true or false",
    "object": "object",
}
_FORMATS = {"date": "date, 2026-03-31", "date-time": "date and time, 2026-03-31T09:30:00Z", "uuid": "UUID"}


@dataclass(frozen=True)
class Field:
    """A field of a shape; ``shape`` names the other shape that it is made of, if any."""

    name: str
    kind: str
    shape: str
    needed: bool
    help: str


@dataclass(frozen=True)
class Shape:
    """An object that is sent or answered."""

    name: str
    fields: tuple[Field, ...]


@dataclass(frozen=True)
class Endpoint:
    """One address with one method; ``sends`` and ``answers`` name shapes."""

    method: str
    path: str
    words: str
    sends: str
    answers: str
    many: bool
    status: str


@dataclass(frozen=True)
class Group:
    title: str
    endpoints: tuple[Endpoint, ...]


def show_page(request: HttpRequest) -> HttpResponse:
    """Show every address of the API with what it takes and answers."""
    groups, shapes = described()
    context = {"address": settings.PUBLIC_ADDRESS, "groups": groups, "shapes": shapes}
    return render(request, "api/page.html", context)


@cache
def described() -> tuple[tuple[Group, ...], tuple[Shape, ...]]:
    """Return the addresses by subject and the shapes, once a process: they do not change while it runs."""
    generator = SchemaGenerator()  # type: ignore[no-untyped-call]  # drf-spectacular types no part of it
    schema = generator.get_schema(request=None, public=True)  # type: ignore[no-untyped-call]
    shapes = schema["components"]["schemas"]
    return tuple(_groups(schema["paths"], shapes)), tuple(_shapes(shapes))


def _groups(paths: Schema, shapes: Schema) -> Iterator[Group]:
    found: dict[str, list[Endpoint]] = {}
    for path, methods in paths.items():
        for method, operation in methods.items():
            found.setdefault(operation["tags"][0], []).append(_endpoint(method, path, operation, shapes))
    for title in sorted(found):
        yield Group(title, tuple(found[title]))


def _endpoint(method: str, path: str, operation: Schema, shapes: Schema) -> Endpoint:
    status, answer = next(iter(operation["responses"].items()))
    name, many = _answered(_named(_body(answer)), shapes)
    sends = _named(_body(operation.get("requestBody", {})))
    return Endpoint(method.upper(), path, _said(operation), sends, name, many, status)


def _body(message: Schema) -> Schema:
    content: Schema = message.get("content", {}).get("application/json", {}).get("schema", {})
    return content


def _answered(name: str, shapes: Schema) -> tuple[str, bool]:
    """The shape that is answered, and whether it comes as a list, page by page."""
    rows = shapes.get(name, {}).get("properties", {}).get("results")
    return (_named(rows["items"]), True) if rows else (name, False)


def _shapes(shapes: Schema) -> Iterator[Shape]:
    for name, shape in shapes.items():
        fields = shape.get("properties", {})
        if not fields or "results" in fields:  # a list of values stands at its field; a page says nothing new
            continue
        needed = shape.get("required", ())
        yield Shape(
            name,
            tuple(_field(key, row, shapes, needed=key in needed) for key, row in fields.items()),
        )


def _field(name: str, schema: Schema, shapes: Schema, *, needed: bool) -> Field:
    kind, shape = _kind(schema, shapes)
    return Field(name, kind, shape, needed, _said(schema))


def _kind(schema: Schema, shapes: Schema) -> tuple[str, str]:
    """What a value is, in words, and the name of the shape that it is made of."""
    if schema.get("type") == "array":
        kind, shape = _kind(schema["items"], shapes)
        return (f"list of {kind}" if kind else "list of", shape)
    name = _named(schema)
    if name and "enum" in shapes[name]:
        return _one_of(shapes[name]["enum"]), ""
    if name:
        return "", name
    if "enum" in schema:
        return _one_of(schema["enum"]), ""
    words = _FORMATS.get(schema.get("format", "")) or _KINDS.get(schema.get("type", ""), "any value")
    most = schema.get("maxLength")
    return (f"{words}, at most {most} characters" if most else words), ""


def _one_of(values: list[object]) -> str:
    return "one of " + ", ".join(str(value) for value in values if value not in {None, ""})


def _named(schema: Schema) -> str:
    """The name of the shape that a schema refers to, or nothing."""
    for one in (schema, *schema.get("allOf", ()), *schema.get("oneOf", ())):
        if "$ref" in one:
            return str(one["$ref"]).rsplit("/", 1)[-1]
    return ""


def _said(row: Schema) -> str:
    return str(row.get("description", ""))
