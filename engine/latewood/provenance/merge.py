"""The bases and cautions of several steps as one."""

from __future__ import annotations

from collections.abc import Iterable
from typing import get_args

import msgspec

from latewood.provenance.shown import Danger, Finding, Shown, Used

#: Dangers from the least to the worst.
_WORSE: tuple[Danger, ...] = get_args(Danger)


def merge_cautions(cautions: Iterable[Shown]) -> list[Shown]:
    """Join the cautions of several steps: each once, as its worst, naming every component and step that calls for it.

    One that names no component is of the whole job, and stays so whatever components other steps name.
    """
    merged: dict[str, Shown] = {}
    for caution in cautions:
        have = merged.get(caution.id, caution)
        partly = have.places and caution.places
        merged[caution.id] = msgspec.structs.replace(
            have,
            severity=max(have.severity, caution.severity, key=_WORSE.index),
            places=tuple(dict.fromkeys((*have.places, *caution.places))) if partly else (),
            steps=tuple(dict.fromkeys((*have.steps, *caution.steps))),
        )
    return sorted(merged.values(), key=lambda one: (-_WORSE.index(one.severity), one.rank))


def merge_findings(findings: Iterable[Finding]) -> list[Finding]:
    """Join findings that say the same: each once, with all its places and the steps that say so."""
    merged: dict[tuple[str, str, str], Finding] = {}
    for one in findings:
        key = (one.id, one.severity, one.message)
        if (have := merged.get(key)) is not None:
            steps = tuple(step for step in dict.fromkeys((*(have.steps or (have.step,)), one.step)) if step)
            places = tuple(dict.fromkeys((*have.places, *one.places)))
            one = msgspec.structs.replace(have, places=places, steps=steps if len(steps) > 1 else ())
        merged[key] = one
    return list(merged.values())


def merge_basis(ledgers: Iterable[Iterable[Used]]) -> list[Used]:
    """Join the bases of several steps: each number once, naming all that used it."""
    merged: dict[str, Used] = {}
    for used in (line for ledger in ledgers for line in ledger):
        have = merged.get(used.path)
        users = used.used_by if have is None else (*have.used_by, *(u for u in used.used_by if u not in have.used_by))
        merged[used.path] = msgspec.structs.replace(have or used, used_by=users)
    return list(merged.values())
