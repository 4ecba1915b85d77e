"""What must be said of fasteners before anybody sands."""

from __future__ import annotations

from collections.abc import Sequence

from latewood.calculators.fasteners.fields import FastenerZone
from latewood.calculators.fasteners.inputs import Inputs
from latewood.provenance import Ledger
from latewood.records import FastenerPractice, Species
from latewood.rules.heads import replaced_for
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number


def say(
    x: Inputs, zones: Sequence[FastenerZone], practice: FastenerPractice, left: Number | None, ledger: Ledger
) -> None:
    """Add the findings."""
    if x.fastener == "hidden-clip":
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
    _say_nails(x, ledger)
    _say_depth(x, practice, left, ledger)
    _say_machine(x, ledger)
    _say_replaced(x, zones, ledger)
    woods = {wood.id: wood for zone in zones if (wood := zone.species or x.species) is not None}
    _say_wood(x, list(woods.values()), practice, ledger)


def _say_replaced(x: Inputs, zones: Sequence[FastenerZone], ledger: Ledger) -> None:
    """Say which heads are replaced for what they are, and what tells how many."""
    seen = dict.fromkeys(sign for signs in (x.signs, *(zone.signs for zone in zones)) for sign in signs)
    cause = replaced_for(x, seen)
    asked = [sign.replace("-", " ") for sign in seen if sign in cause]
    if not asked or x.fastener == "hidden-clip":
        return
    message = f"Seen: {', '.join(asked)}. Replace those heads by stainless ones: a head that is set stains again."
    if x.share_staining is None:
        message += " Count them: their share is a judgement."
    ledger.find("heads-replaced", "warning", message, pointer="/share_staining")


def risen(x: Inputs) -> bool:
    """Say whether nails hold the boards that rose again after they had been set; only nails do."""
    return bool(x.risen_before)


def too_thin(left: Number | None, practice: FastenerPractice) -> bool:
    """Say whether sanding is likely to bring heads that do not stand proud too near the surface."""
    return left is not None and spread.low(left) < practice.clearance.si * (1 - 1e-9)


def too_shallow(x: Inputs) -> bool:
    """Say whether heads that do not stand proud lie nearer the surface than the machine may go over."""
    asked = None if x.machine is None else x.machine.set_below
    return asked is not None and x.fastener_cover is not None and x.fastener_cover < asked.si * (1 - 1e-9)


def _say_machine(x: Inputs, ledger: Ledger) -> None:
    """Say how deep a machine wants heads, and which of them that concerns."""
    if x.machine is None or x.machine.set_below is None or x.fastener == "hidden-clip":
        return
    asked = x.machine.set_below.given
    if too_shallow(x):
        message = (
            f"{x.machine.title}: heads must lie {asked} below the surface. The heads that are not proud lie less deep, "
            "so all are counted. Set all of them deeper first."
        )
        ledger.find("too-shallow-for-machine", "warning", message, pointer="/fastener_cover", machine=x.machine.id)
    elif x.fastener_cover is None:
        message = (
            f"{x.machine.title}: heads must lie {asked} below the surface. Only proud heads are counted here. Measure "
            "how deep the others lie."
        )
        ledger.find("cover-for-machine", "warning", message, pointer="/fastener_cover", machine=x.machine.id)


def _say_nails(x: Inputs, ledger: Ledger) -> None:
    if risen(x):
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


def _say_depth(x: Inputs, practice: FastenerPractice, left: Number | None, ledger: Ledger) -> None:
    if x.removal is None:
        message = "Without the depth to be sanded off no depth can be given to which heads are set."
        ledger.find("removal-missing", "note", message, pointer="/removal")
    elif too_thin(left, practice) and x.fastener == "hidden-clip":
        message = (
            "Sanding leaves too little wood above the clips: the lip of the groove breaks off. Take less away, turn "
            "the boards, or replace them."
        )
        ledger.find("cover-too-thin", "warning", message, pointer="/fastener_cover")
    elif too_thin(left, practice):
        message = (
            "Sanding brings the other heads too near the surface as well: all of them have to go deeper first, not "
            "only those that stand proud now, and all are counted."
        )
        ledger.find("cover-too-thin", "warning", message, pointer="/fastener_cover")


def _say_wood(x: Inputs, woods: Sequence[Species], practice: FastenerPractice, ledger: Ledger) -> None:
    dense = [wood.title for wood in woods if wood.group == "hardwood" and wood.density.si >= practice.bored_from.si]
    if dense and x.fastener != "hidden-clip":
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
