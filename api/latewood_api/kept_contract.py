"""The contract as bytes, kept from one start to the next: its examples are the answers of every calculator."""

from __future__ import annotations

from collections.abc import Mapping
from importlib.resources import files

import msgspec

from latewood import cache
from latewood.catalogue import Catalogue
from latewood_api.answers import to_json

_NAME = "contract"


def contract(lw: Catalogue) -> tuple[bytes, list[str]]:
    """Return the contract, and its paths as far as they are fixed, for naming the nearest to an unknown one."""
    made_from = _made_from(lw)
    kept = None if made_from is None else cache.recall(_NAME, made_from)
    if kept is not None:
        paths, _, content = kept.partition(b"\n")
        return content, msgspec.json.decode(paths, type=list[str])
    from latewood_api import openapi

    document = openapi.document(lw)
    content, concrete = to_json(document), _concrete(document["paths"])
    if made_from is not None:
        cache.keep(_NAME, made_from, msgspec.json.encode(concrete) + b"\n" + content)
    return content, concrete


def _made_from(lw: Catalogue) -> str | None:
    """Return what it depends on: what the engine does, what it holds, and the code that writes it."""
    if lw.made_from is None:
        return None
    holds = msgspec.json.encode(lw.computed_with).decode()
    return f"{lw.made_from}\n{holds}\n{cache.stamp([str(files('latewood_api'))])}"


def _concrete(paths: Mapping[str, object]) -> list[str]:
    return [path.partition("/{")[0] for path in paths]
