"""What a job says anew when a stop is lifted: the fields of it that would say so."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, Final

from latewood.messages import Speaker
from latewood.plan.done import Done
from latewood.plan.effective_zones import EffectiveZone
from latewood.plan.stopped import Stop
from latewood.rules.hazard_fields import LEAD_TESTS, PROOFS

_TREATED: Final = ("treatment", *PROOFS)
#: Fields of a part by the finding that stops it.
_BY_FINDING: Final = {
    "stop-structure": ("structure", "signs", "affected"),
    "replace": ("affected", "signs"),
    "fix-cause-first": ("signs",),
    "sign-stops": ("signs",),
    "composite-refused": ("material",),
    "arsenic-not-sanded": _TREATED,
    "creosote-stop": _TREATED,
    "pentachlorophenol-stop": _TREATED,
    "lead-not-sanded": LEAD_TESTS,
    "penetrating-over-film": ("coating", "old_coating"),
    "less-opaque-over-film": ("coating", "old_coating"),
}
#: Fields of a part by how the id of a stop of the wash ends.
_BY_ENDING: Final = {"-on-arsenical": _TREATED, "-on-lead": LEAD_TESTS}
#: Stops of the way the work is done, which a job chooses.
_CHOSEN: Final = {
    "no-route": "/choices/route",
    "route-forbidden": "/choices/route",
    "machine-unsuited": "/machines",
    "grooved-face": "/machines",
    "pressure-erodes": "/choices/pressure",
    "wash-after-sanding": "/choices/route",
}


def lifted_by(stop: Stop, done: Done) -> tuple[str, ...]:
    """Return the fields of the job, any of which may lift a stop; the part itself where no field is known to."""
    zone, _, rest = stop.part.partition("/")
    floor = next((merged for merged in done.zones if merged.id == zone), None)
    if floor is None:
        return ("/surroundings",)
    if rest == "frame":
        return (floor.pointer_to("structure"), floor.pointer_to("frame"))
    part = next((merged for merged in done.whole if merged.id == stop.part), floor)
    found = tuple(dict.fromkeys(_fields(stop, part, floor, done)))
    return found or (part.pointer,)


def stopped(stop: Stop, done: Done, speaker: Speaker) -> dict[str, Any]:
    """Return a stop as a plan lists it."""
    return {
        "id": stop.part,
        "why": speaker.clause(stop.why),
        "finding": stop.finding,
        "lifted_by": list(lifted_by(stop, done)),
    }


def carried(held: Iterable[str], done: Done) -> dict[str, Any]:
    """Return what stops some of the parts that a step would be about, as the step carries it."""
    stops = done.stops.of(held)
    if not stops:
        return {}
    fields = dict.fromkeys(field for stop in stops for field in lifted_by(stop, done))
    return {"stopped_by": [{"id": stop.part, "finding": stop.finding} for stop in stops], "lifted_by": list(fields)}


def _fields(stop: Stop, part: EffectiveZone, floor: EffectiveZone, done: Done) -> Iterator[str]:
    if stop.finding in _CHOSEN:
        yield _CHOSEN[stop.finding]
    ending = next((fields for end, fields in _BY_ENDING.items() if stop.finding.endswith(end)), ())
    yield from _of(part, _BY_FINDING.get(stop.finding, ending))
    if ending is _TREATED or stop.finding.endswith("-over-frame"):
        # Water runs over the frame too.
        yield floor.pointer_to("frame")
    if stop.finding == "stop-structure" and part is not floor and {floor.id, f"{floor.id}/frame"} & done.stops.parts:
        # It stands on the floor, or is worked on from there.
        yield from _of(floor, _BY_FINDING["stop-structure"])


def _of(part: EffectiveZone, names: tuple[str, ...]) -> Iterator[str]:
    own: Any = part.zone if part.own is None else part.own
    yield from (part.pointer_to(name) for name in names if name in own.__struct_fields__)
