"""The schema parts that many fields share, so that the contract stays small and generated clients stay readable."""

from __future__ import annotations

from typing import Any

from latewood import units

MAX_TEXT = 40


class Components:
    """Collects named schemas while a document is written; ``prefix`` is where they will stand in it."""

    def __init__(self, prefix: str = "#/components/schemas/") -> None:
        self.prefix = prefix
        self.found: dict[str, dict[str, Any]] = {}
        self._of: dict[str, object] = {}

    def ref(self, name: str) -> dict[str, Any]:
        """Return a reference to a part."""
        return {"$ref": f"{self.prefix}{name}"}

    def claim(self, name: str, maker: object) -> bool:
        """Keep a name for what one struct says in a request, or in an answer; say whether its part is still to be put.

        Raises ValueError where the name is taken by anything else: a request is closed, an answer open, and two structs
        of one name are two things.
        """
        if name not in self.found:
            self.found[name] = {}
            self._of[name] = maker
            return True
        if self._of.get(name) != maker:
            raise ValueError(f"two schemas are named {name}")
        return False

    def put(self, name: str, schema: dict[str, Any]) -> dict[str, Any]:
        """Keep a part and return the reference to it; two different parts may not share a name."""
        if self.found.setdefault(name, schema) != schema:
            raise ValueError(f"two schemas are named {name}")
        return self.ref(name)

    def text(self, dimension: str, *, uncertain: bool = False) -> dict[str, Any]:
        """Refer to the text form of a quantity, as a query takes it."""
        words = units.DIMENSIONS[dimension]
        name = camel(dimension) + ("RangeText" if uncertain else "Text")
        like = f"such as {words.example}"
        return self.put(
            name,
            {
                "type": "string",
                "maxLength": MAX_TEXT,
                "pattern": units.pattern(dimension, uncertain=uncertain),
                "description": f"{words.words.capitalize()} as a number and a unit, {like}.",
            },
        )

    def quantity(self, dimension: str, *, uncertain: bool = False) -> dict[str, Any]:
        """Refer to the input form of a quantity: text, or an object of numbers with one unit."""
        words = units.DIMENSIONS[dimension].words
        measure = camel(dimension) + ("RangeMeasure" if uncertain else "Measure")
        unit = {"type": "string", "enum": list(units.spellings(dimension))}
        numbers = {"value": {"type": "number"}}
        if uncertain:
            numbers |= {"low": {"type": "number"}, "high": {"type": "number"}}
        closed: dict[str, Any] = {
            "type": "object",
            "description": f"{words.capitalize()} as a number with its unit"
            + ("; low and high are P10 and P90." if uncertain else "."),
            "properties": {**numbers, "unit": unit},
            "required": ["unit"] if uncertain else ["value", "unit"],
            "additionalProperties": False,
        }
        if uncertain:
            closed["anyOf"] = [{"required": ["value"]}, {"required": ["low", "high"]}]
            closed["dependentRequired"] = {"low": ["high"], "high": ["low"]}
        self.put(measure, closed)
        both = {"anyOf": [self.text(dimension, uncertain=uncertain), self.ref(measure)]}
        return self.put(camel(dimension) + ("Range" if uncertain else "") + "Input", both)

    def answer(self, dimension: str) -> dict[str, Any]:
        """Refer to the output form of a quantity. Units are spellings the input accepts."""
        words = units.DIMENSIONS[dimension].words
        return self.put(
            camel(dimension),
            {
                "type": "object",
                "description": f"{words.capitalize()}; low and high are P10 and P90 where it is uncertain, "
                "value is null where it could not be computed.",
                "properties": {
                    "value": {"type": ["number", "null"]},
                    "low": {"type": "number"},
                    "high": {"type": "number"},
                    "unit": {"type": "string"},
                },
                "required": ["value", "unit"],
            },
        )

    def money(self) -> dict[str, Any]:
        """Refer to the output form of an amount of money."""
        return self.put(
            "Amount",
            {
                "type": "object",
                "description": "An amount of money; the currency is an ISO 4217 code.",
                "properties": {"amount": {"type": "string"}, "currency": {"type": "string"}},
                "required": ["amount", "currency"],
            },
        )


def camel(id: str) -> str:
    """Return ``spreading-rate`` as ``SpreadingRate``."""
    return "".join(part.capitalize() for part in id.replace("_", "-").split("-"))


__all__ = ["MAX_TEXT", "Components", "camel"]
