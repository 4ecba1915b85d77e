"""What is said of fasteners before any sanding."""

from __future__ import annotations

from latewood.calculators.fasteners.compute import too_shallow, too_thin
from latewood.calculators.fasteners.inputs import Inputs
from latewood.calculators.fasteners.resolve import Resolved
from latewood.provenance import Ledger
from latewood.records import Species
from latewood.rules.heads import replaced_for
from latewood.uncertainty.spread import Number


def find(x: Inputs, r: Resolved, left: Number | None, ledger: Ledger) -> None:
    """Add the findings; ``left`` is the wood above the heads that are not proud, after sanding."""
    if r.hidden:
        message = (
            "Hidden clips have no heads to set. See that no edge has come out of its clip, and that the lip above the "
            "groove stays thick enough after sanding."
        )
        ledger.find("hidden-fasteners", "note", message, pointer="/fastener")
    else:
        message = (
            "Fasteners come before any sanding: a proud head tears the abrasive at once, and steel throws sparks into "
            "an extractor full of fine dust."
        )
        ledger.find("fasteners-first", "note", message, pointer="/fastener")
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
    asked = ", ".join(sign.replace("-", " ") for sign in seen if sign in cause)
    message = f"Seen: {asked}. Replace those heads by stainless ones: a head that is set stains again."
    if x.share_staining is None:
        message += " Count them: their share is a judgement."
    ledger.find("heads-replaced", "warning", message, pointer="/share_staining")


def _machine(r: Resolved, ledger: Ledger) -> None:
    """Say how deep a machine wants heads, and which of them that concerns."""
    if r.machine is None or r.machine.set_below is None or (r.cover is not None and not too_shallow(r)):
        return
    deep = f"{r.machine.title}: heads must lie {r.machine.set_below.given} below the surface."
    if r.cover is None:
        id, message = "cover-for-machine", "Only proud heads are counted here. Measure how deep the others lie."
    else:
        id = "too-shallow-for-machine"
        message = "The heads that are not proud lie less deep, so all are counted. Set all of them deeper first."
    ledger.find(id, "warning", f"{deep} {message}", pointer="/fastener_cover", machine=r.machine.id)


def _nails(x: Inputs, ledger: Ledger) -> None:
    if x.risen_before:
        message = (
            "Nails that have risen once rise again if they are set again: replace them by screws, or by nails with a "
            "longer or ringed shank. All that are treated are counted as replaced."
        )
        ledger.find("nails-risen", "warning", message, pointer="/risen_before")
    elif x.fastener == "nail":
        message = (
            "A nail that is set again comes up again within a few seasons; where that matters, put in screws instead."
        )
        ledger.find("nails-rise-again", "note", message, pointer="/fastener")
    if x.fastener in (None, "unknown"):
        message = "Whether nails or screws hold the boards was not said; screws were counted, which take longer."
        ledger.find("fastener-unknown", "note", message, pointer="/fastener")
    if x.heads_can_be_set is False:
        message = "Heads can neither be set deeper nor replaced. No machine sands over proud or shallow heads."
        ledger.find("heads-stay", "warning", message, pointer="/heads_can_be_set")
    if x.share_stuck:
        message = (
            f"{x.share_stuck:.0%} of the proud fasteners cannot go deeper: take them out and put in others. A board "
            "that holds them cannot be sanded by machine before."
        )
        ledger.find("cannot-go-deeper", "warning", message, pointer="/share_stuck")


def _depth(r: Resolved, left: Number | None, ledger: Ledger) -> None:
    if r.removal is None:
        message = "Without the depth to be sanded off no depth can be given to which heads are set."
        ledger.find("removal-missing", "note", message, pointer="/removal")
    elif too_thin(r, left):
        message = (
            "Sanding leaves too little wood above the clips: the lip of the groove breaks off. Take less away, turn "
            "the boards, or replace them."
            if r.hidden
            else "Sanding brings the other heads too near the surface as well: all of them have to go deeper first, "
            "not only those that stand proud now, and all are counted."
        )
        ledger.find("cover-too-thin", "warning", message, pointer="/fastener_cover")


def _wood(x: Inputs, r: Resolved, ledger: Ledger) -> None:
    found = [x.species] if not x.zones else [zone.species or x.species for zone in x.zones]
    woods = list({wood.id: wood for wood in found if wood is not None}.values())
    bored_from = r.practice.record.bored_from.si
    dense = [wood.title for wood in woods if wood.group == "hardwood" and wood.density.si >= bored_from]
    if dense and not r.hidden:
        message = (
            f"{' and '.join(dense)}: bore before a new fastener goes in, clearance hole and countersink; dense wood "
            "splits, and screws shear off in it."
        )
        ledger.find("bore-first", "warning", message, pointer="/species")
    stains = [wood.title for wood in woods if _stains(wood)]
    if stains and x.fastener_material != "stainless":
        message = (
            f"{' and '.join(stains)} reacts with iron and turns black round it: new fasteners of stainless steel, and "
            "no steel wool or steel brush."
        )
        ledger.find("stainless-only", "warning", message, pointer="/fastener_material")


def _stains(wood: Species) -> bool:
    """Say whether anything in the wood blackens or corrodes beside iron."""
    return any(
        one.id in ("iron-stain", "fastener-corrosion") and one.level != "none-noticed" for one in wood.extractives
    )
