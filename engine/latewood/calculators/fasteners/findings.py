"""What is said of fasteners before any sanding."""

from __future__ import annotations

from latewood.calculators.fasteners.compute import too_shallow, too_thin
from latewood.calculators.fasteners.inputs import Inputs
from latewood.calculators.fasteners.resolve import Resolved
from latewood.messages import Length, Limit, Share, Titled, Word, clause
from latewood.provenance import Ledger
from latewood.records import Species
from latewood.rules.heads import replaced_for
from latewood.uncertainty.spread import Number


def find(x: Inputs, r: Resolved, left: Number | None, ledger: Ledger) -> None:
    """Add the findings; ``left`` is the wood above the heads that are not proud, after sanding."""
    ledger.find("hidden-fasteners" if r.hidden else "fasteners-first", pointer="/fastener")
    _nails(x, ledger)
    _depth(r, left, ledger)
    if not r.hidden:
        _machine(r, ledger)
        _replaced(x, ledger)
    _wood(x, r, ledger)


def _replaced(x: Inputs, ledger: Ledger) -> None:
    """Say which heads are replaced for what they are, and what tells how many."""
    seen = dict.fromkeys(sign for signs in (x.signs, *(zone.signs for zone in x.zones)) for sign in signs)
    cause = replaced_for(x, seen)
    if not cause:
        return
    signs = [Word("sign", sign) for sign in seen if sign in cause]
    more = [clause("count-stained-heads")] if x.share_staining is None else []
    ledger.find("heads-replaced", pointer="/share_staining", signs=signs, more=more)


def _machine(r: Resolved, ledger: Ledger) -> None:
    """Say how deep a machine wants heads, and which of them that concerns."""
    if r.machine is None or r.machine.set_below is None or (r.cover is not None and not too_shallow(r)):
        return
    below = r.machine.set_below
    ledger.find(
        "cover-for-machine" if r.cover is None else "too-shallow-for-machine",
        pointer="/fastener_cover",
        params={"machine": r.machine.id},
        machine=Titled(r.machine),
        depth=Limit(below.given, Length(below.si)),
    )


def _nails(x: Inputs, ledger: Ledger) -> None:
    if x.risen_before:
        ledger.find("nails-risen", pointer="/risen_before")
    elif x.fastener == "nail":
        ledger.find("nails-rise-again", pointer="/fastener")
    if x.fastener in (None, "unknown"):
        ledger.find("fastener-unknown", pointer="/fastener")
    if x.heads_can_be_set is False:
        ledger.find("heads-stay", pointer="/heads_can_be_set")
    if x.share_stuck:
        ledger.find("cannot-go-deeper", pointer="/share_stuck", share=Share(x.share_stuck))


def _depth(r: Resolved, left: Number | None, ledger: Ledger) -> None:
    if r.removal is None:
        ledger.find("removal-missing", pointer="/removal")
    elif too_thin(r, left):
        text = "lip-too-thin" if r.hidden else "cover-too-thin"
        ledger.find("cover-too-thin", text=text, pointer="/fastener_cover")


def _wood(x: Inputs, r: Resolved, ledger: Ledger) -> None:
    found = [x.species] if not x.zones else [zone.species or x.species for zone in x.zones]
    woods = list({wood.id: wood for wood in found if wood is not None}.values())
    bored_from = r.practice.record.bored_from.si
    dense = [Titled(wood) for wood in woods if wood.group == "hardwood" and wood.density.si >= bored_from]
    if dense and not r.hidden:
        ledger.find("bore-first", pointer="/species", woods=dense)
    stains = [Titled(wood) for wood in woods if _stains(wood)]
    if stains and x.fastener_material != "stainless":
        ledger.find("stainless-only", pointer="/fastener_material", woods=stains)


def _stains(wood: Species) -> bool:
    """Say whether anything in the wood blackens or corrodes beside iron."""
    return any(
        one.id in ("iron-stain", "fastener-corrosion") and one.level != "none-noticed" for one in wood.extractives
    )
