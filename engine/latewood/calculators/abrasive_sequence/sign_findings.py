"""Faces that a sign stops, and what is done about signs besides sanding."""

from __future__ import annotations

from collections.abc import Iterable

from latewood.calculators.abrasive_sequence.inputs import Inputs
from latewood.calculators.abrasive_sequence.resolved_faces import ResolvedFace
from latewood.calculators.abrasive_sequence.seen import signs_on
from latewood.declare import RecordLookup
from latewood.provenance import Ledger
from latewood.records import ConditionRule
from latewood.rules import sign_actions
from latewood.rules.sign_actions import Measured


def stopped(spot: ResolvedFace, x: Inputs, ledger: Ledger, known: RecordLookup) -> bool:
    """Say whether a sign stops a face, and write why: nothing rotten, sagging or wet from below is sanded."""
    rule: ConditionRule = known.record("condition-rule", "usual")
    reasons = list(sign_actions.stops(signs_on(spot.face, x), Measured(), rule, ledger))
    for why in reasons:
        message = f"{spot.id}: {why}. No machine sands it before that."
        at = f"/faces/{spot.place}/signs" if spot.face.signs else "/signs"
        ledger.find("sign-stops", "stop", message, pointer=at, face=spot.id)
    return bool(reasons)


def say(x: Inputs, spots: Iterable[ResolvedFace], ledger: Ledger) -> None:
    """Write what is done about signs besides sanding."""
    sign_actions.say(x.signs, ledger)
    for spot in spots:
        sign_actions.say(spot.face.signs, ledger, f"/faces/{spot.place}/signs")
