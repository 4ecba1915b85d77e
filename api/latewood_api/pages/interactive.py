"""The interactive page: Swagger UI, whose files lie here. `swagger_ui/SOURCE.md` says where they are from.

Faults of Swagger UI that touch us:

- of the PyPI package `swagger-ui-bundle` is 4.x and cannot draw 3.1; another brings Flask -> two files of 5.34.0
  lie in `pages/swagger_ui`, with their licences. Tests:
  `api/test_pages::test_its_files_are_those_of_the_package_they_are_from`
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import Any, Final

from latewood_api.pages.layout import Site

#: Each file and its type.
TYPES: Final = {
    "interactive.js": "text/javascript",
    "pages.css": "text/css",
    "swagger-ui-bundle.js": "text/javascript",
    "swagger-ui.css": "text/css",
}

Json = dict[str, Any]


@cache
def content(name: str) -> bytes:
    """Return one of the files; none is read before it is asked for."""
    pages = files("latewood_api.pages")
    return (pages / "swagger_ui" if name.startswith("swagger") else pages).joinpath(name).read_bytes()


def console_page(site: Site, contract: Json) -> bytes:
    """Return the parts of the contract that can be tried."""
    return site.page("console", "API console", parts_of=_tags(contract))


def tag_page(site: Site, contract: Json, tag: str) -> bytes:
    """Return what leads up to one part; its operations are drawn when they are asked for."""
    return site.page("tag", f"API console: {tag}", script="interactive.js", tag=tag, operations=_tags(contract)[tag])


def _tags(contract: Json) -> dict[str, list[tuple[str, str, str]]]:
    found: dict[str, list[tuple[str, str, str]]] = {}
    for path, operations in contract["paths"].items():
        for method, one in operations.items():
            for tag in one["tags"]:
                found.setdefault(tag, []).append((method.upper(), path, one["summary"]))
    return found


def tags(contract: Json) -> list[str]:
    """Return the names of its parts."""
    return [*_tags(contract)]


def part_of(contract: Json, tag: str) -> Json:
    """Return the contract with the operations of one tag and what they refer to."""
    paths = {
        path: {method: one for method, one in operations.items() if tag in one["tags"]}
        for path, operations in contract["paths"].items()
    }
    paths = {path: operations for path, operations in paths.items() if operations}
    kept: dict[str, Json] = {}
    waiting: list[Any] = [paths]
    for part in waiting:
        for ref in _references(part):
            _, _, group, name = ref.split("/")
            if name not in kept.setdefault(group, {}):
                kept[group][name] = contract["components"][group][name]
                waiting.append(kept[group][name])
    return {**contract, "paths": paths, "components": kept}


def _references(part: Any) -> Iterator[str]:
    if isinstance(part, dict):
        if isinstance(ref := part.get("$ref"), str):
            yield ref
        for value in part.values():
            yield from _references(value)
    elif isinstance(part, list):
        for value in part:
            yield from _references(value)
