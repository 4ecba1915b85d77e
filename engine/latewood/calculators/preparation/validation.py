"""What in the inputs of preparation cannot be meant: every fault at once."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import date

from latewood.calculators.preparation.inputs import Inputs
from latewood.messages import Code, Titled, Word, refusal
from latewood.problems import Fault, InputProblem
from latewood.rules.days import ahead, built_ahead
from latewood.rules.faces import FLOOR
from latewood.rules.hazard_fields import frame_faults, lead_test_faults, proof_faults
from latewood.rules.heads import fastening_faults
from latewood.rules.part_routes import floor_route_faults
from latewood.rules.sanding_work.validation import sanding_faults


def check(x: Inputs, grades: Collection[str]) -> None:
    """Raise `InputProblem` with every fault between fields. ``grades`` are the ids of all in the catalogue."""
    today = x.as_of or x.start
    faults = [
        *_rates(x),
        *_dates(x),
        *built_ahead(x.year_built, today),
        *_since_when(x, today),
        *_means(x),
        *_floor_only(x),
        *floor_route_faults(x.route, "/route"),
        *sanding_faults(x, grades),
        *lead_test_faults(x, today=today),
        *proof_faults(x),
        *frame_faults(x.frame, "/frame"),
    ]
    if x.fastening is not None:
        faults += fastening_faults(x.fastening, "/fastening")
    if faults:
        raise InputProblem(faults)


def _rates(x: Inputs) -> Iterator[Fault]:
    for index, own in enumerate(x.rates):
        wanted, other = ("time", "area_pace") if own.rate.time is not None else ("area_pace", "time")
        if getattr(own, wanted) is None or getattr(own, other) is not None:
            at, by = f"/rates/{index}/{wanted}", Code(wanted.replace("_", " "))
            yield refusal("rate-given-by", at, rate=Titled(own.rate), by=by, field=Code(wanted))


def _dates(x: Inputs) -> Iterator[Fault]:
    if x.ready_by is not None and x.start is None:
        yield refusal("ready-by-without-start", "/start")
    if x.start is not None and x.ready_by is not None and x.ready_by < x.start:
        yield refusal("ready-before-start", "/ready_by")


def _since_when(x: Inputs, today: date | None) -> Iterator[Fault]:
    """Find a day of beading that has no effect, or lies ahead."""
    if x.beading_since is not None and x.beading not in ("beads", "in-part"):
        yield refusal("beading-since-of-nothing", "/beading_since")
    else:
        yield from ahead(x.beading_since, today, "/beading_since", "day")


def _means(x: Inputs) -> Iterator[Fault]:
    for name in ("temperature", "relative_humidity") if x.weather is not None else ():
        if getattr(x, name) is not None:
            yield refusal("weather-and-mean", f"/{name}")


def _floor_only(x: Inputs) -> Iterator[Fault]:
    """Find what is said of parts that are not of the floor, or of zones that preparation does not know."""
    named = [(f"/parts/{index}", part.part) for index, part in enumerate(x.parts)]
    named += [(f"/patches/{index}", patch.part) for index, patch in enumerate(x.patches) if patch.part is not None]
    for at, part in named:
        if part not in FLOOR:
            yield refusal("not-of-the-floor", f"{at}/part", part=Word("part", part))
    for index, patch in enumerate(x.patches):
        if patch.zone is not None:
            yield refusal("patch-of-zone", f"/patches/{index}/zone")
    if x.edge_strip is not None and x.edge_strip.area > x.area * (1 + 1e-9):
        yield refusal("perimeter-over-floor", "/edge_strip/area")
