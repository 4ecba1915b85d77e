"""A schema brought into one form: references followed, allOf merged, alternatives apart from the rest."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Final

from tests.contract.compatibility.values import TYPES, types_of

Json = dict[str, Any]

#: Words for people. A change of these changes nothing a program relies on.
NOTES: Final = {"title", "description", "example", "examples", "$comment", "deprecated", "externalDocs", "xml"}
COMPARED: Final = {
    "type", "enum", "const", "default", "format", "pattern", "items", "properties", "required", "dependentRequired",
    "additionalProperties", "multipleOf", "uniqueItems", "minimum", "maximum", "exclusiveMinimum", "exclusiveMaximum",
    "minLength", "maxLength", "minItems", "maxItems", "minProperties", "maxProperties", "discriminator",
}  # fmt: skip


@dataclass
class Shape:
    """One schema without references and allOf."""

    keywords: Json
    patterns: list[str] = field(default_factory=list)
    choices: list[Any] = field(default_factory=list)
    rest: Json = field(default_factory=dict)

    def get(self, keyword: str, otherwise: Any = None) -> Any:
        """Return a keyword's value."""
        return self.keywords.get(keyword, otherwise)

    @property
    def words(self) -> list[Any] | None:
        """The only values there are, where they are listed."""
        if "const" in self.keywords:
            return [self.keywords["const"]]
        return self.keywords.get("enum")

    @property
    def types(self) -> set[str]:
        """The JSON types it admits."""
        said = self.keywords.get("type")
        if said is None:
            return set(TYPES) if self.words is None else types_of(self.words)
        return {said} if isinstance(said, str) else set(said)

    @property
    def possible(self) -> bool:
        """Whether anything can be valid."""
        return not self.keywords.get("impossible", False)

    @property
    def fields(self) -> Json:
        """Its declared fields."""
        return dict(self.keywords.get("properties", {}))

    @property
    def required(self) -> set[str]:
        """Its required fields."""
        return set(self.keywords.get("required", ()))

    @property
    def additional(self) -> Any:
        """What fields that are not declared may hold: True, False or a schema."""
        said = self.keywords.get("additionalProperties", True)
        return True if said == {} else said

    @property
    def discriminator(self) -> Json:
        """Which field tells the alternatives apart."""
        return dict(self.keywords.get("discriminator") or {})

    @property
    def uncompared(self) -> set[str]:
        """Keywords that restrict in ways not compared here: they may only stay as they are."""
        return {key for key in self.keywords if key not in COMPARED and key != "impossible"}


def resolve(node: Any, document: Json) -> Any:
    """Follow a reference within the document."""
    while isinstance(node, dict) and "$ref" in node:
        found: Any = document
        for step in str(node["$ref"]).removeprefix("#/").split("/"):
            found = found[step.replace("~1", "/").replace("~0", "~")]
        beside = {key: value for key, value in node.items() if key != "$ref" and key not in NOTES}
        node = {"allOf": [found, beside]} if beside else found
    return node


def shape(schema: Any, document: Json) -> Shape:
    """Bring a schema into one form."""
    found = Shape({})
    _merge(found, schema, document)
    if found.choices:
        found.rest = {key: value for key, value in found.keywords.items() if key not in ("discriminator", "default")}
        if found.patterns:
            found.rest["allOf"] = [{"pattern": pattern} for pattern in found.patterns]
    return found


def _merge(found: Shape, schema: Any, document: Json) -> None:
    node = resolve(schema, document)
    if node is True:
        return
    if node is False:
        found.keywords["impossible"] = True
        return
    for key, value in node.items():
        if key in NOTES or key.startswith("x-"):
            continue
        if key == "allOf":
            for part in value:
                _merge(found, part, document)
        elif key in ("anyOf", "oneOf"):
            # Two unions at once are every pair of their alternatives.
            found.choices = [
                {"allOf": [held, choice]} if held is not None else choice
                for held in found.choices or [None]
                for choice in value
            ]
        elif key == "pattern":
            found.patterns.append(value)
        elif key == "type" and "type" in found.keywords:
            found.keywords["type"] = sorted(_both(found.types, Shape({"type": value}).types))
        else:
            _put(found.keywords, key, value)
    if not found.types:
        found.keywords["impossible"] = True


def _both(one: set[str], other: set[str]) -> set[str]:
    """Return the types that both admit; a whole number is a number."""
    whole = {"integer"} if one | other >= {"integer", "number"} else set()
    return one & other | {kind for kind in whole if {"integer", "number"} & one and {"integer", "number"} & other}


def _put(keywords: Json, key: str, value: Any) -> None:
    held = keywords.get(key)
    if held is None or held == value:
        keywords[key] = value
    elif key == "properties":
        both = {name: {"allOf": [held[name], value[name]]} for name in held if name in value}
        keywords[key] = {**held, **value, **both}
    elif key == "required":
        keywords[key] = sorted({*held, *value})
    elif key.lower().startswith(("min", "exclusivemin")):
        keywords[key] = max(held, value)
    elif key.lower().startswith(("max", "exclusivemax")):
        keywords[key] = min(held, value)
    elif key == "enum":
        keywords[key] = [word for word in held if word in value]
    elif key == "additionalProperties":
        keywords[key] = False if False in (held, value) else {"allOf": [held, value]}
    elif key == "items":
        keywords[key] = {"allOf": [held, value]}
    else:
        # The same keyword twice with no way to merge: kept under another name, so that any change shows.
        keywords[f"{key} (again)"] = value
