"""The parts of the contract that every operation shares: options, problems, headers, the catalogue's shapes."""

from __future__ import annotations

from typing import Any, Final, get_args

import msgspec

from latewood.messages import Style, shipped, written
from latewood.problems import InputProblem
from latewood.records.source import By, Read
from latewood.wire.options import CHOICES, DOCS
from latewood_api import problem
from latewood_api.answers import JSON, TEXT

Json = dict[str, Any]
STRING: Final[Json] = {"type": "string"}
STRINGS: Final[Json] = {"type": "array", "items": STRING}
SCHEMAS: Final = "#/components/schemas/"

#: The statuses an operation may answer with beside 200; 405 belongs to paths, not to operations.
READ: Final = (400, 406, 422, 500)
READ_ONE: Final = (400, 404, 406, 422, 500)
SEND: Final = (400, 406, 408, 413, 415, 422, 500, 503)
#: And with these a proxy before it, which knows of no cells.
PROXY: Final = (429, 431)


def ref(section: str, name: str) -> Json:
    """Return a reference to a component."""
    return {"$ref": f"#/components/{section}/{name}"}


def option(name: str) -> Json:
    """Refer to the parameter of an option."""
    return ref("parameters", name)


def parameters() -> Json:
    """Return the options as shared query parameters."""
    found = {}
    for name, words in CHOICES.items():
        schema: Json = {"type": "boolean"} if name == "working" else {"type": "string", "enum": list(words)}
        found[name] = {"name": name, "in": "query", "description": DOCS[name], "schema": schema}
    return found


def headers() -> Json:
    """Return the response headers clients may rely on."""
    return {
        "RequestId": {
            "description": "The request's own X-Request-Id where it sent a good one, or a new id.",
            "schema": STRING,
        },
        "ETag": {"description": "Tag of this answer, for If-None-Match.", "schema": STRING},
    }


def ok(description: str, media: str, schema: Json, *, example: Json | None = None, tagged: bool = False) -> Json:
    """Return a 200 response."""
    content: Json = {"schema": schema}
    if example is not None:
        content["examples"] = {"computed": example}
    sent = {"X-Request-Id": ref("headers", "RequestId")}
    if tagged:
        sent["ETag"] = ref("headers", "ETag")
    return {"description": description, "headers": sent, "content": {media: content}}


def refusals(statuses: tuple[int, ...], *, cell: bool = False) -> Json:
    """Refer to the problem responses of these statuses; a cell has them as text."""
    own = {status: _name(status) + ("Line" if cell else "") for status in statuses}
    found = own | {status: _name(status) for status in PROXY}
    return {str(status): ref("responses", found[status]) for status in sorted(found)}


def responses(sample: InputProblem) -> Json:
    """Return every problem response, as a document and as a cell's line; the sample is a refusal that was computed."""
    found: Json = {"NotModified": {"description": "The answer the caller holds is still right."}}
    for kind in problem.KINDS.values():
        refused = (
            problem.Refusal(kind.slug, written(sample.faults, shipped().speaker(Style())))
            if kind.status == 422
            else problem.refusal(kind.slug, kind.meaning)
        )
        document = msgspec.to_builtins(problem.document(refused, "/v1/calculate/coverage"))
        name = _name(kind.status)
        titles = [f"{one.title}." for one in problem.KINDS.values() if one.status == kind.status]
        found[name] = {
            "description": " ".join(titles),
            "headers": {"X-Request-Id": ref("headers", "RequestId")},
            "content": {problem.MEDIA: {"schema": ref("schemas", "Problem"), "example": document}},
        }
        found[f"{name}Line"] = {
            "description": " ".join([*titles, "As one line of text."]),
            "headers": {"X-Request-Id": ref("headers", "RequestId")},
            "content": {TEXT: {"schema": {"type": "string"}, "example": problem.line(refused)}},
        }
    return found


def _name(status: int) -> str:
    slug = next(kind.slug for kind in problem.KINDS.values() if kind.status == status)
    return "".join(word.capitalize() for word in slug.split("-"))


def schemas() -> Json:
    """Return the schemas that belong to no calculator."""
    count = {"type": "integer", "minimum": 0}
    entry = {"id": STRING, "title": STRING, "summary": STRING}
    return {
        "Fault": _object(
            "One thing wrong at one place.",
            {
                "pointer": {**STRING, "description": "JSON Pointer to the value; empty for the request as a whole."},
                "code": {**STRING, "description": "What kind of fault, for machines."},
                "detail": {**STRING, "description": "What was wrong."},
                "expected": {**STRING, "description": "What would be right."},
                "nearest": {**STRING, "description": "The nearest known name."},
                "id": {**STRING, "description": "The id of the text, as `GET /v1/catalogue/messages` lists it."},
                "values": {
                    "type": "object",
                    "description": "What stands in the text, as data: quantities with their unit, else ids and counts.",
                    "additionalProperties": True,
                },
                "language": {**STRING, "description": "The language of the text, where the one asked for lacks it."},
            },
            ["pointer", "code", "detail"],
        ),
        "Problem": _object(
            "A problem document (RFC 9457), with every fault found.",
            {
                "type": {**STRING, "format": "uri-reference", "description": "Address of the page about this kind."},
                "title": {**STRING, "description": "The kind in words; the same for every problem of the type."},
                "status": {"type": "integer", "minimum": 400, "maximum": 599},
                "instance": {**STRING, "format": "uri-reference", "description": "The path of the request."},
                "errors": {"type": "array", "items": ref("schemas", "Fault"), "minItems": 1},
            },
            ["type", "title", "status", "instance", "errors"],
        ),
        "CatalogueEntry": _object(
            "One entry of a list.",
            {**entry, "matched": {**STRING, "description": "The name that matched, where names were searched."}},
            ["id", "title", "summary"],
        ),
        "CatalogueList": _object(
            "Everything of one kind, in order of id; or what of it was found, the best first.",
            {
                "items": {"type": "array", "items": ref("schemas", "CatalogueEntry")},
                "count": count,
                "ambiguous": ref("schemas", "AmbiguousName"),
                "nearest": {**STRING, "description": "Where nothing was found: the id of what is spelt much like it."},
            },
            ["items", "count"],
        ),
        "AmbiguousName": _object(
            "A name that several woods share, and so must not be taken for one of them.",
            {**entry, "candidates": {"type": "array", "items": ref("schemas", "Candidate"), "minItems": 1}},
            ["id", "title", "summary", "candidates"],
        ),
        "Candidate": _object(
            "One wood the name may mean.",
            {
                "id": STRING,
                "title": STRING,
                "botanical": STRING,
                "where": {**STRING, "description": "Where or in which trade the name means this."},
                "on_shelf": {"type": "boolean", "description": "Whether there is an entry of this id."},
            },
            ["id", "title", "botanical", "on_shelf"],
        ),
        "CatalogueItem": _object(
            "One entry whole. What it has beside id, title and summary depends on its kind; records have what is here.",
            {
                **entry,
                "record": {**STRING, "description": "The kind of record."},
                "plugin": {**STRING, "description": "The plugin that brought it."},
                "content": {"type": "object", "description": "The record as its file says it."},
                "numbers": {"type": "array", "items": ref("schemas", "RecordNumber")},
                "sources": {"type": "array", "items": ref("schemas", "RecordSource")},
                "candidates": {
                    "type": "array",
                    "items": ref("schemas", "Candidate"),
                    "description": "Of a shared name: the woods it may mean.",
                },
                "used_by": {
                    "type": "array",
                    "items": STRING,
                    "description": "Of a source: the records that rest on it, as <kind>/<id>.",
                },
            },
            ["id", "title", "summary"],
        ),
        "RecordNumber": _object(
            "A number of a record, as it is computed with: value is its median, low and high its P10 and P90.",
            {
                "path": {**STRING, "description": "Where it stands; the basis of an answer names it so."},
                "title": {**STRING, "description": "What it says."},
                "given": {**STRING, "description": "In the record's own words."},
                **{name: {"type": "number"} for name in ("value", "low", "high")},
                "unit": {**STRING, "description": "Absent for counts and years."},
                "kind": {
                    **STRING,
                    "description": "How it is known: published, reported, derived, judgement, …",
                },
                "source": {**STRING, "description": "The id of its source."},
                "where": {**STRING, "description": "The place in the source."},
                "note": STRING,
                "starts": {**STRING, "format": "date", "description": "The first day it holds."},
            },
            ["path", "title", "given", "value", "kind", "source"],
        ),
        "RecordSource": _object(
            "Where numbers and statements of a record come from.",
            {
                **entry,
                "publisher": STRING,
                "by": {**STRING, "enum": list(get_args(By)), "description": "Who answers for it."},
                "year": {"type": "integer"},
                "url": {**STRING, "format": "uri"},
                "where": {**STRING, "description": "How to find it where it has no address."},
                "read": {**STRING, "enum": list(get_args(Read)), "description": "How much of it was read."},
                "note": {**STRING, "description": "What to be wary of."},
            },
            ["id", "title", "summary"],
        ),
        "CatalogueKind": _object(
            "A kind of entry and how many there are.",
            {"id": STRING, "title": {**STRING, "description": "In the language of the answer."}, "count": count},
            ["id", "title", "count"],
        ),
        "CatalogueKinds": _object(
            "Every kind that can be listed.",
            {"items": {"type": "array", "items": ref("schemas", "CatalogueKind")}, "count": count},
            ["items", "count"],
        ),
        "Liveness": _object("The process runs.", {"status": {"type": "string", "const": "live"}}, ["status"]),
        "PluginState": _object(
            "A plugin, why it was left out where it was, and where it has failed since the server started.",
            {**entry, "distribution": STRING, "version": STRING, "error": STRING, "failed": _failed()},
            ["id", "distribution", "version"],
        ),
        "Readiness": _object(
            "The server takes work; a plugin that was left out says so.",
            {
                "status": {"type": "string", "const": "ready"},
                "plugins": {"type": "array", "items": ref("schemas", "PluginState")},
            },
            ["status", "plugins"],
        ),
    }


def _failed() -> Json:
    return _object(
        "How often it failed, and in which part, for which request, it did last; the log has more.",
        {"count": {"type": "integer", "minimum": 1}, "part": STRING, "request_id": STRING},
        ["count", "part", "request_id"],
    )


def _object(description: str, properties: Json, required: list[str]) -> Json:
    return {"type": "object", "description": description, "properties": properties, "required": required}


__all__ = ["JSON", "READ", "READ_ONE", "SCHEMAS", "SEND", "TEXT"]
