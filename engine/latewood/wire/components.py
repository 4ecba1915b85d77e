"""The schema parts that many fields share, so that the contract stays small and generated clients stay readable."""

from __future__ import annotations

from typing import Any

from latewood.messages import Style, shipped
from latewood.quantities import number_text, units

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

    def text(self, dimension: str, *, uncertain: bool = False, or_share: bool = False) -> dict[str, Any]:
        """Refer to the text form of a quantity, as a query takes it."""
        name = _named(dimension, or_share=or_share) + ("RangeText" if uncertain else "Text")
        like = f"such as {units.DIMENSIONS[dimension].example}" + (" or 12.5 %" if or_share else "")
        return self.put(
            name,
            {
                "type": "string",
                "maxLength": MAX_TEXT,
                "pattern": units.pattern(dimension, uncertain=uncertain, or_share=or_share),
                "description": f"{_said(dimension, or_share=or_share)} as a number and a unit, {like}.",
            },
        )

    def quantity(self, dimension: str, *, uncertain: bool = False, or_share: bool = False) -> dict[str, Any]:
        """Refer to the input form of a quantity: text, or an object of numbers with one unit."""
        name, words = _named(dimension, or_share=or_share), _said(dimension, or_share=or_share)
        measure = name + ("RangeMeasure" if uncertain else "Measure")
        unit = self._unit(dimension, or_share=or_share)
        number = {"type": "number"}
        text = self.text(dimension, uncertain=uncertain, or_share=or_share)
        if not uncertain:
            self.put(
                measure,
                _closed(
                    {"description": f"{words} as a number with its unit."},
                    {"value": number, "unit": unit},
                    ["value", "unit"],
                ),
            )
            return self.put(f"{name}Input", {"anyOf": [text, self.ref(measure)]})
        # Two objects, not one with conditions inside: linters and generators read a requirement beside its property.
        ends = f"{name}RangeEnds"
        all_three = _closed(
            {"description": f"{words} as a number with its unit; low and high, given together, are P10 and P90."},
            {"value": number, "low": number, "high": number, "unit": unit},
            ["value", "unit"],
        )
        self.put(measure, {**all_three, "dependentRequired": {"low": ["high"], "high": ["low"]}})
        two = {"low": number, "high": number, "unit": unit}
        self.put(ends, _closed({"description": f"{words} as P10 and P90 with their unit."}, two, list(two)))
        return self.put(f"{name}RangeInput", {"anyOf": [text, self.ref(measure), self.ref(ends)]})

    def series(self, dimension: str, most: int) -> dict[str, Any]:
        """Refer to the input form of a quantity recorded at equal steps: one unit, and a value or null a step."""
        noun = _words(dimension).split(" ", 1)[1].capitalize()
        described = _closed(
            {"description": f"{noun} at equal steps of time; null where it was not recorded, which is not zero."},
            {
                "unit": self._unit(dimension, or_share=False),
                "values": {
                    "type": "array",
                    "items": {"type": ["number", "null"]},
                    "minItems": 1,
                    "maxItems": most,
                },
            },
            ["unit", "values"],
        )
        return self.put(f"{camel(dimension)}Series", described)

    def _unit(self, dimension: str, *, or_share: bool) -> dict[str, Any]:
        """Refer to the spellings of a quantity's units."""
        accepted = units.spellings(dimension) + (units.spellings("fraction") if or_share else ())
        # No enum: generators make a member's name of each word, and L and l, m2 and m² get the same one.
        plain = "|".join(number_text.escape(word) for word in accepted)
        return self.put(
            f"{_named(dimension, or_share=or_share)}Unit",
            {
                "type": "string",
                "maxLength": MAX_TEXT,
                "pattern": f"^(?:{plain})$",
                "description": f"One of {', '.join(accepted)}.",
            },
        )

    def answer(self, dimension: str) -> dict[str, Any]:
        """Refer to the output form of a quantity. Units are spellings the input accepts."""
        words = _words(dimension)
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


def _named(dimension: str, *, or_share: bool) -> str:
    return camel(dimension) + ("OrShare" if or_share else "")


def _said(dimension: str, *, or_share: bool) -> str:
    return _words(dimension).capitalize() + (", or a percentage," if or_share else "")


def _words(dimension: str) -> str:
    """Return what people call a quantity, with its article: the contract is in English."""
    return shipped().speaker(Style()).word("dimension", dimension)


def _closed(about: dict[str, Any], properties: dict[str, Any], required: list[str]) -> dict[str, Any]:
    return {
        "type": "object",
        **about,
        "properties": properties,
        "required": required,
        "additionalProperties": False,
    }


def camel(id: str) -> str:
    """Return ``spreading-rate`` as ``SpreadingRate``."""
    return "".join(part.capitalize() for part in id.replace("_", "-").split("-"))


__all__ = ["MAX_TEXT", "Components", "camel"]
