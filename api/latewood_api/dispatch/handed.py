"""The engine that a process was given when it was forked, if it was."""

from __future__ import annotations

from latewood.catalogue import Catalogue

CATALOGUE: Catalogue | None = None
