"""The hooks a plugin may implement; each is asked once, when an engine is loaded, one plugin at a time."""

from __future__ import annotations

from collections.abc import Iterable

import pluggy

from latewood.declare import Calculator
from latewood.messages import Bundle
from latewood.plugin.models import Model
from latewood.records import Record

GROUP = "latewood"

hookspec = pluggy.HookspecMarker(GROUP)
hookimpl = pluggy.HookimplMarker(GROUP)


@hookspec
def latewood_records() -> Iterable[Record]:
    """Return the records the plugin brings, usually ``read_pack(__name__)``."""
    raise NotImplementedError


@hookspec
def latewood_models() -> Iterable[Model]:
    """Return the named models that records of this or another plugin may choose."""
    raise NotImplementedError


@hookspec
def latewood_calculators() -> Iterable[Calculator]:
    """Return calculators beyond the engine's own."""
    raise NotImplementedError


@hookspec
def latewood_texts() -> Iterable[Bundle]:
    """Return the texts the plugin brings, usually ``[read_texts(__name__)]``: its messages and its languages."""
    raise NotImplementedError
