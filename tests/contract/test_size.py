"""The contract is small enough for a phone, and what several operations share stands in it once."""

from __future__ import annotations

import copy
import gzip
import json
from collections import defaultdict
from typing import Any, Final

import pytest
from tests.bundled import bundled

from latewood.catalogue import Catalogue
from latewood_api.answers import to_json
from latewood_api.contract_parameters import Parameters
from latewood_api.openapi import document

ENGINE = bundled()
CONTRACT: dict[str, Any] = json.loads(to_json(document(ENGINE)))
#: What a calculator may add to the contract, on average, in bytes as served.
ADDED = 40_000
#: The whole contract as it is sent.
SENT = 150_000


def without(id: str) -> dict[str, Any]:
    shelf = copy.copy(ENGINE.shelf)
    shelf.calculators = {other: one for other, one in ENGINE.calculators.items() if other != id}
    return document(Catalogue(shelf))


def test_it_is_sent_small() -> None:
    assert len(gzip.compress(to_json(CONTRACT), 6)) <= SENT


def test_a_calculator_adds_little() -> None:
    whole = len(to_json(CONTRACT))
    added = [whole - len(to_json(without(id))) for id in ENGINE.calculators]
    assert min(added) > 0
    assert sum(added) / len(added) <= ADDED


def test_every_parameter_stands_once() -> None:
    """What an operation alone takes stands in it: the output of a cell, the ids in a path of the catalogue."""
    for path, methods in CONTRACT["paths"].items():
        for operation in methods.values():
            own = [one["name"] for one in operation.get("parameters", ()) if "$ref" not in one]
            assert set(own) <= {"output", "kind", "id", "search", "width", "full"}, path
    found = [json.dumps(one, sort_keys=True) for one in CONTRACT["components"]["parameters"].values()]
    assert len(set(found)) == len(found)


def test_no_long_schema_stands_twice() -> None:
    """A pattern of a thousand characters is referred to; what is shorter than a reference is not."""
    patterns: dict[str, list[str]] = defaultdict(list)

    def look(part: Any, at: str) -> None:
        if isinstance(part, dict):
            if isinstance(part.get("pattern"), str):
                patterns[part["pattern"]].append(at)
            for name, inner in part.items():
                look(inner, f"{at}/{name}")
        elif isinstance(part, list):
            for index, inner in enumerate(part):
                look(inner, f"{at}/{index}")

    look(CONTRACT, "")
    assert {pattern: places for pattern, places in patterns.items() if len(pattern) > 120 and len(places) > 1} == {}


class TestParameters:
    AREA: Final = {"name": "area", "in": "query", "schema": {"type": "string"}}

    def test_the_same_of_two_calculators_is_one(self) -> None:
        asked = Parameters()
        assert asked.put("coverage", self.AREA) == asked.put("wash", dict(self.AREA))

    def test_what_differs_has_the_name_of_its_calculator_before_it(self) -> None:
        asked = Parameters()
        asked.put("coverage", self.AREA)
        reference = asked.put("wash", {**self.AREA, "required": True})
        assert reference == {"$ref": "#/components/parameters/wash.area"}
        assert asked.of(reference)["required"]
        assert asked.put("masking", {**self.AREA, "required": True}) == reference

    def test_two_of_one_calculator_are_refused(self) -> None:
        asked = Parameters()
        asked.put("coverage", self.AREA)
        asked.put("wash", {**self.AREA, "required": True})
        with pytest.raises(ValueError, match="two parameters of wash are named area"):
            asked.put("wash", {**self.AREA, "description": "Area to wash"})
