"""The records and models shipped with the engine, one file a record, and what the records say in other languages."""

from __future__ import annotations

from collections.abc import Iterable

from latewood.plugin import Bundle, Model, Record, hookimpl, read_pack, read_texts
from latewood_plugins import models, weather


@hookimpl
def latewood_records() -> Iterable[Record]:
    """Return every record of this pack."""
    return read_pack(__name__)


@hookimpl
def latewood_models() -> Iterable[Model]:
    """Return the models this pack's records choose."""
    return [*models.MODELS, *weather.MODELS]


@hookimpl
def latewood_texts() -> Iterable[Bundle]:
    """Return this pack's records in other languages."""
    return [read_texts(__name__)]
