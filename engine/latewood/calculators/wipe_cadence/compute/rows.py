"""The lists of the answer: runs, bands, and what happens when."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from latewood.calculators.wipe_cadence.compute.choose import Setting
from latewood.calculators.wipe_cadence.compute.crew_simulation import Simulated, tasks
from latewood.calculators.wipe_cadence.compute.run_plan import RunPlan
from latewood.calculators.wipe_cadence.compute.run_segments import RunSegment, slices
from latewood.calculators.wipe_cadence.fields import CadenceBand, CadenceEvent, CadenceRun, CadenceRunRow, Stop
from latewood.messages import Clause, Count, Length, Name, Time, clause


def row(run: CadenceRun, found: RunPlan, setting: Setting) -> CadenceRunRow:
    """Return a run: its bands and what one takes."""
    segments = [(part.segment, part.chosen) for part in found.segments if part.segment.run == run.id]
    simulated = [chosen.simulated for _, chosen in segments if chosen.simulated is not None]
    sizes = [size for _, chosen in segments for size in chosen.bands]
    width, duration = (
        max(sizes),
        math.fsum(one.duration for one in simulated) + (len(simulated) - 1) * setting.typical.turn,
    )
    taken = [tasks(segment, setting.crew, setting.typical) for segment, _ in segments]
    narrow = min((chosen for _, chosen in segments), key=lambda chosen: chosen.most or chosen.typical_most)
    cut = math.fsum(time for one in taken for time in one.cut)
    return CadenceRunRow(
        id=run.id,
        courses_per_band=width,
        most_courses=narrow.most,
        typical_courses=narrow.typical_most,
        limited_by=narrow.limited_by,
        band_count=len(sizes),
        band_area=width * run.course_length * run.pitch,
        laying_time=width * taken[0].lay[0],
        edge_time=cut / len(sizes),
        wiping_time=width * taken[0].wipe[0],
        band_time=duration / len(sizes),
        duration=duration,
    )


def bands(found: RunPlan) -> Iterator[CadenceBand]:
    """Yield the bands of every segment."""
    for part in found.segments:
        if part.chosen.simulated is not None:
            yield from _bands(part.segment, part.chosen.simulated, part.chosen.bands, part.starts)


def _bands(segment: RunSegment, one: Simulated, sizes: tuple[int, ...], starts: float) -> Iterator[CadenceBand]:
    spans = slices(sizes)
    for place, span in enumerate(spans):
        first, last = segment.courses[span[0]], segment.courses[span[-1]]
        timings = [one.timings[index] for index in span]
        stop: Stop = "full-board"
        if place == len(spans) - 1:
            stop = "end"
        elif span[-1] + 1 in segment.breaks:
            stop = "natural-break"
        yield CadenceBand(
            id=f"{segment.run}-{min(first.number, last.number)}-{max(first.number, last.number)}",
            run=segment.run,
            first_course=first.number,
            last_course=last.number,
            stop=stop,
            edge_length=math.fsum(segment.courses[index].edge for index in span),
            begins=starts + min(timing.begins for timing in timings),
            laid_by=starts + timings[-1].laid,
            wiping_begins=starts + timings[0].wiping,
            wiped=starts + timings[-1].wiped,
            wipe_deadline=starts + min(timing.by for timing in timings),
            slack=min(timing.slack for timing in timings),
        )


def events(shown: Sequence[CadenceBand], setting: Setting) -> list[CadenceEvent]:
    """Return what happens, in its order; what happens at once goes by band."""
    lines = [line for band in shown for line in _of_band(band, setting)]
    return sorted(lines, key=lambda line: round(line.begins, 6))


def _of_band(band: CadenceBand, setting: Setting) -> Iterator[CadenceEvent]:
    courses = _courses(band)
    lay = clause("lay-courses", courses=courses)
    if band.edge_length > 0:
        lay = clause("cut-in-and-lay", edge=Length(band.edge_length), courses=courses)
    yield CadenceEvent(id=f"{band.id}-lay", begins=band.begins, text=lay)
    if setting.second is not None:
        second = band.wipe_deadline - setting.wipe.by
        yield CadenceEvent(id=f"{band.id}-again", begins=second, text=clause("second-coat-on", courses=courses))
    wipe = clause("wipe-courses", courses=courses, wiped=Time(band.wiped), late=Time(band.wipe_deadline))
    yield CadenceEvent(id=f"{band.id}-wipe", begins=band.wiping_begins, text=wipe)
    yield CadenceEvent(id=f"{band.id}-cloths", begins=band.wiped, text=clause("cloths-into-can"))


def _courses(band: CadenceBand) -> Clause:
    first, run = Count(band.first_course), Name(band.run)
    if band.first_course == band.last_course:
        return clause("one-course", course=first, run=run)
    return clause("courses-between", first=first, last=Count(band.last_course), run=run)
