"""Who may call: whether every way of proving it that sufficed still does."""

from __future__ import annotations

from collections.abc import Iterator

from tests.contract.compatibility.shapes import Json, resolve


def security_breaks(at: str, old: tuple[Json, Json], new: tuple[Json, Json]) -> Iterator[str]:
    """Yield each break; both pairs are a document and its operation."""
    before, after = _needed(*old), _needed(*new)
    for way in before:
        if not any(_suffices(way, other) for other in after):
            yield f"{at}: {_words(way)} no longer suffices"
    for name in sorted({name for way in before for name in way} & {name for way in after for name in way}):
        schemes = [document.get("components", {}).get("securitySchemes", {}) for document, _ in (old, new)]
        one, other = (
            _bare(resolve(found.get(name), document)) for found, (document, _) in zip(schemes, (old, new), strict=True)
        )
        if one != other:
            yield f"{at}: how {name} is proved changes"


def _needed(document: Json, operation: Json) -> list[dict[str, list[str]]]:
    said: list[dict[str, list[str]]] = (
        operation["security"] if "security" in operation else document.get("security", [])
    )
    return said or [{}]


def _suffices(held: dict[str, list[str]], wanted: dict[str, list[str]]) -> bool:
    return all(name in held and set(scopes) <= set(held[name]) for name, scopes in wanted.items())


def _words(way: dict[str, list[str]]) -> str:
    return " with ".join(sorted(way)) if way else "to call without proof"


def _bare(scheme: Json | None) -> Json:
    return {key: value for key, value in (scheme or {}).items() if key != "description"}
