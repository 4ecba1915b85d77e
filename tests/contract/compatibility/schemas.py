"""Whether every value one JSON Schema admits is admitted by another, with each reason against it in words.

One question serves both directions. What was sent before must still be taken: the old request schema must fit into the
new one. What is answered now must be what was promised: the new response schema must fit into the old one. Two things
differ by direction. An optional field more is harmless in a request and none missed in an answer; a default is a
promise in a request only.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Final

from tests.contract.compatibility import values
from tests.contract.compatibility.pattern_inclusion import included
from tests.contract.compatibility.shapes import Json, Shape, resolve, shape

#: Keyword, and whether the inner schema's number must be at least (1) or at most (-1) the outer's.
LIMITS: Final = {
    "minimum": 1,
    "exclusiveMinimum": 1,
    "minLength": 1,
    "minItems": 1,
    "minProperties": 1,
    "maximum": -1,
    "exclusiveMaximum": -1,
    "maxLength": -1,
    "maxItems": -1,
    "maxProperties": -1,
}


@dataclass
class Fit:
    """Compares the schemas of two documents: whether what ``inner`` admits fits into what ``outer`` admits."""

    inner: Json
    outer: Json
    request: bool
    _known: dict[tuple[str, str], list[str]] = field(default_factory=dict)

    @property
    def side(self) -> str:
        """Which way the value travels, in words."""
        return "sent" if self.request else "answered"

    def reasons(self, inner: Any, outer: Any, at: str) -> list[str]:
        """Return why the inner schema does not fit; each begins with the place."""
        return self._compare(inner, outer, at, whole=True)

    def _compare(self, inner: Any, outer: Any, at: str, *, whole: bool) -> list[str]:
        """Compare two schemas; a default belongs to the ``whole``, not to one of its alternatives."""
        key = (_name(inner), _name(outer))
        if not all(key):
            return list(dict.fromkeys(self._reasons(inner, outer, at, whole=whole)))
        if key not in self._known:
            # What refers to itself fits if it fits everywhere else.
            self._known[key] = []
            alike = key[0] == key[1]
            place = f"{key[0]}, {self.side}" if alike else at
            found = dict.fromkeys(self._reasons(inner, outer, place, whole=whole or alike))
            self._known[key] = self._said_once(inner, outer, place, list(found)) if alike else list(found)
        return self._known[key]

    def _said_once(self, inner: Any, outer: Any, place: str, found: list[str]) -> list[str]:
        """Say of a part that both schemas have in common what changes in it, and not again of each schema with it."""
        held = _parts(inner, self.inner)
        common = [part for part in _parts(outer, self.outer) if part in held]
        said = [reason for part in common for reason in self._compare(part, part, place, whole=False)]
        ends = {reason.partition(f", {self.side}: ")[2] for reason in said}
        return said + [reason for reason in found if reason.removeprefix(f"{place}: ") not in ends]

    def _reasons(self, inner: Any, outer: Any, at: str, *, whole: bool) -> Iterator[str]:
        one, other = shape(inner, self.inner), shape(outer, self.outer)
        if self.request and whole:
            yield from self._default(one, other, at)
        if one.choices:
            for choice in one.choices:
                part = {"allOf": [choice, one.rest]} if one.rest else choice
                yield from self._compare(part, outer, at, whole=False)
        elif other.choices:
            yield from self._best(inner, other, at)
        else:
            yield from self._plain(one, other, at)
        yield from self._tags(one, other, at)

    def _best(self, inner: Any, other: Shape, at: str) -> Iterator[str]:
        """Fit into any alternative; what fits into none is told of the one it comes nearest to."""
        one = shape(inner, self.inner)
        found: list[tuple[bool, bool, int, list[str]]] = []
        for choice in other.choices:
            part = {"allOf": [choice, other.rest]} if other.rest else choice
            reasons = self._compare(inner, part, at, whole=False)
            if not reasons:
                return
            foreign = not one.types & shape(part, self.outer).types
            found.append((_name(choice) != _name(inner), foreign, len(reasons), reasons))
        parts = self._split(one, other)
        if parts:
            for part in parts:
                yield from self._best(part, other, at)
            return
        nearest = min(found, key=lambda entry: entry[:3])
        name = _name(inner)
        if name and nearest[0]:
            yield f"{at}: {name} is no alternative there" if self.request else f"{at}: {name} is a new alternative"
        else:
            yield from nearest[3]

    def _split(self, one: Shape, other: Shape) -> list[Json]:
        """Cut a schema in parts that different alternatives may take: by value, type, or a field that may be there."""
        whole = {**one.keywords, "allOf": [{"pattern": pattern} for pattern in one.patterns]}
        if one.words is not None:
            return [{"const": word} for word in one.words] if len(one.words) > 1 else []
        if len(one.types) > 1 and isinstance(one.get("type"), list):
            return [{**whole, "type": kind} for kind in one.get("type")]
        told_apart = {name for choice in other.choices for name in shape(choice, self.outer).required}
        for name in sorted((told_apart & set(one.fields)) - one.required):
            if one.fields[name] is not False:
                without = {**whole, "properties": {**one.fields, name: False}}
                return [{**whole, "required": sorted({*one.required, name})}, without]
        return []

    def _plain(self, one: Shape, other: Shape, at: str) -> Iterator[str]:
        # Anything fits into anything, and the items of anything are anything again.
        if not one.possible or one == other == Shape({}):
            return
        if one.words is not None:
            yield from self._words(one.words, other, at)
            return
        if other.words is not None:
            yield f"{at}: any {values.listed(one.types)} where only {values.shown(other.words)} is known"
            return
        extra = one.types - other.types - ({"integer"} if "number" in other.types else set())
        if extra:
            yield f"{at}: type {values.listed(one.types)} does not fit into {values.listed(other.types)}"
            return
        yield from self._limits(one, other, at)
        if "string" in one.types:
            yield from self._texts(one, other, at)
        if "array" in one.types:
            yield from self.reasons(one.get("items", {}), other.get("items", {}), f"{at}, each item")
        if "object" in one.types:
            yield from self._objects(one, other, at)
        for keyword in sorted(other.uncompared):
            if one.get(keyword) != other.get(keyword):
                yield f"{at}: {keyword} changes, which is not compared"

    def _words(self, words: list[Any], other: Shape, at: str) -> Iterator[str]:
        beyond = [word for word in words if not values.admits(other, word)]
        if beyond:
            verb = "is no longer taken" if self.request else "may be answered, and never was"
            yield f"{at}: {values.shown(beyond)} {verb}"

    def _limits(self, one: Shape, other: Shape, at: str) -> Iterator[str]:
        for keyword, sense in LIMITS.items():
            limit = other.get(keyword)
            if limit is None or not one.types & values.LIMITED[keyword]:
                continue
            held = one.get(keyword, 0 if keyword in ("minLength", "minItems", "minProperties") else None)
            if held is None and keyword in values.EXCLUSIVE:
                held = values.strictly_inside(one, keyword, limit)
            if held is None or (held - limit) * sense < 0:
                yield f"{at}: {keyword} {self._change(held, limit)}"
        step = other.get("multipleOf")
        if step is not None and (one.get("multipleOf") is None or one.get("multipleOf") % step):
            yield f"{at}: multipleOf {self._change(one.get('multipleOf'), step)}"
        if other.get("uniqueItems") and not one.get("uniqueItems"):
            yield f"{at}: uniqueItems {self._change(False, True)}"

    def _texts(self, one: Shape, other: Shape, at: str) -> Iterator[str]:
        wanted = other.get("format")
        if wanted is not None and one.get("format") != wanted:
            yield f"{at}: format {self._change(one.get('format'), wanted)}"
        for pattern in other.patterns:
            verdicts = [included(held, pattern) for held in one.patterns or [""]]
            if any(verdict.included for verdict in verdicts):
                continue
            example = next((v.text for v in verdicts if v.included is False), None)
            if example is None:
                yield f"{at}: the pattern changes in a way that could not be compared"
            else:
                verb = "is no longer taken" if self.request else "may be answered, and never was"
                yield f"{at}: by its pattern the text {example!r} {verb}"

    def _objects(self, one: Shape, other: Shape, at: str) -> Iterator[str]:
        before, after = (one, other) if self.request else (other, one)
        for name in before.fields:
            if before.fields[name] is False:
                continue
            if name not in after.fields:
                yield f"{at}: field {name} is taken away"
            else:
                yield from self.reasons(one.fields[name], other.fields[name], f"{at}: field {name}")
        for name in sorted(other.required - one.required):
            if self.request:
                yield f"{at}: field {name} is now required"
            elif name in one.fields:
                yield f"{at}: field {name} may now be left out"
        rest, allowed = one.additional, other.additional
        if allowed is False and rest is not False:
            yield f"{at}: " + ("unknown fields are now refused" if self.request else "unknown fields may now come")
        elif allowed is False and not self.request:
            for name in sorted(set(one.fields) - set(other.fields)):
                yield f"{at}: field {name} is new in an object that was closed"
        elif isinstance(allowed, dict):
            yield from self.reasons({} if rest is True else rest, allowed, f"{at}, each further field")
        tied = one.get("dependentRequired", {})
        for name, needed in other.get("dependentRequired", {}).items():
            more = sorted(set(needed) - set(tied.get(name, ())) - one.required)
            if more and name in one.fields:
                yield f"{at}: field {name} " + ("now needs" if self.request else "now comes without") + f" {more}"

    def _default(self, one: Shape, other: Shape, at: str) -> Iterator[str]:
        old, new = one.get("default", values.ABSENT), other.get("default", values.ABSENT)
        if not values.same(old, new):
            yield f"{at}: default {self._change(old, new)}"

    def _tags(self, one: Shape, other: Shape, at: str) -> Iterator[str]:
        held, wanted = one.discriminator, other.discriminator
        if held and wanted and held.get("propertyName") != wanted.get("propertyName"):
            yield f"{at}: the field that tells alternatives apart changes"
        if held and wanted:
            for tag in sorted(set(held.get("mapping", {})) - set(wanted.get("mapping", {}))):
                yield f"{at}: the alternative {tag} " + ("is taken away" if self.request else "is new")

    def _change(self, inner: Any, outer: Any) -> str:
        old, new = (inner, outer) if self.request else (outer, inner)
        return f"goes from {values.word(old)} to {values.word(new)}"


def _parts(schema: Any, document: Json) -> list[Json]:
    """Return the named schemas that a schema is put together from."""
    parts: list[Json] = resolve(schema, document).get("allOf", [])
    return [part for part in parts if len(parts) > 1 and _name(part)]


def _name(schema: Any) -> str:
    """Return the name of the component a schema is, whatever description stands beside the reference."""
    if isinstance(schema, dict):
        if "$ref" in schema:
            return str(schema["$ref"]).rpartition("/")[2] if set(schema) <= {"$ref", "description", "summary"} else ""
        if set(schema) <= {"allOf", "description", "title"} and len(schema.get("allOf", ())) == 1:
            return _name(schema["allOf"][0])
    return ""
