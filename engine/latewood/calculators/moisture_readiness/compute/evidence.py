"""Readings put right, what those of a zone amount to, and which of them overrule the model.

Temperature first, then species; what is beyond the meter is no number.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Mapping
from typing import Final

from latewood.calculators.moisture_readiness import findings
from latewood.calculators.moisture_readiness.measured import Evidence, Read, latest
from latewood.calculators.moisture_readiness.resolved import Reading, Resolved, Zone
from latewood.calculators.moisture_readiness.result import CorrectedReading
from latewood.formulas import meter as formulas
from latewood.formulas import sampling
from latewood.messages import Clause, clause
from latewood.provenance import Ledger, Sourced
from latewood.records import Species
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: Where to read, by position; nobody is sent into the sun.
WHERE: Final = {
    "shade": clause("read-in-shade"),
    "low-clearance": clause("read-at-low-clearance"),
    "end-grain": clause("read-near-end-grain"),
    "typical": clause("read-average-board"),
}
#: A doubt that asks for another reading, even where nothing wetted the boards.
TOO_FAR: Final = clause("beyond-corrections")


def evidence(zone: Zone, equilibrium: float | None, shared: Resolved, ledger: Ledger) -> Evidence:
    """Gather a zone's readings."""
    counted, older, overruling, rows = [], [], [], []
    last_wet, practice = zone.last_wet, shared.practice
    reads = tuple(_correct(reading, zone, shared, ledger) for reading in zone.readings)
    last = latest(tuple(read for read in reads if read.usable))
    for read in reads:
        why, counts, time, doubts = read.why, read.usable, read.reading.at, list(read.doubts)
        if counts and equilibrium is not None and read.corrected is not None:
            points = ledger.value(practice.implausible)
            if read.value < equilibrium - points:
                counts, why = False, clause("drier-than-weather")
                findings.implausibly_dry(read, points, equilibrium, ledger)
        if counts and time is not None and last is not None and time < last - ledger.value(practice.stands):
            counts, why = False, clause("later-readings-stand")
            older.append(read)
        if last_wet is not None and time is None:
            doubts.append(clause("perhaps-before-wetting"))
        elif last_wet is not None and time is not None and time <= last_wet:
            doubts.append(clause("before-wetting"))
        overrules = counts and read.corrected is not None and not doubts
        if counts:
            counted.append(read)
        if overrules:
            overruling.append(read)
        rows.append(
            CorrectedReading(
                id=str(read.reading.place + 1),
                zone=zone.id,
                reading=read.reading.given.reading,
                corrected=read.corrected,
                usable=counts,
                overrules=overrules,
                why=why or (clause("doubted", doubts=doubts) if doubts else None),
            )
        )
    beyond = any(read.at_least is not None for read in counted)
    values = [read.value for read in counted]
    mean = statistics.fmean(values) if values else None
    deviation = statistics.stdev(values) if len(values) > 1 else None
    bound = None
    if mean is not None and deviation is not None and not beyond:
        factor = sampling.student_t(shared.confidence, len(values) - 1) / math.sqrt(len(values))
        bound = spread.value(ledger.step(sampling.upper_bound, mean=mean, deviation=deviation, factor=factor))
    return Evidence(
        counted=tuple(counted),
        older=tuple(older),
        overruling=tuple(overruling),
        rows=tuple(rows),
        mean=mean,
        deviation=deviation,
        highest=max(values, default=None),
        bound=bound,
        beyond_scale=beyond,
        surface_wet=any(read.reading.given.surface_wet for read in reads),
    )


def wanted(zone: Zone, seen: Evidence, shared: Resolved, ledger: Ledger) -> tuple[int, int]:
    """Return how many readings the zone takes, and the most there may be.

    A few, and near the limit as many as the scatter asks for.
    """
    rules, area = shared.practice, zone.given.area
    within = ledger.value(shared.meter.within)
    large = zone.given.mixed_age or (area is not None and area > ledger.value(rules.large))
    count = round(ledger.value(rules.some if large else rules.few))
    if (
        seen.mean is not None
        and seen.deviation is not None
        and not seen.beyond_scale
        and abs(seen.mean - zone.limit) <= ledger.value(rules.near)
    ):
        count = max(count, sampling.readings_for(seen.deviation, within))
    return count, round(ledger.value(rules.most))


def where_to_read(zone: Zone, seen: Evidence, missing: int) -> tuple[Clause, ...]:
    """Return the places the next readings belong in, those not yet looked at first; none where none are missing.

    Where only sunny places were read, one in the shade is missing whatever the count.
    """
    if seen.only_sun:
        missing = max(missing, 1)
    taken = {read.reading.given.position for read in seen.counted}
    places = [where for name, where in WHERE.items() if name not in taken]
    if zone.given.mixed_age:
        places.append(clause("read-each-age"))
    return tuple((places or [WHERE["shade"]])[: max(missing, 0)])


def _correct(reading: Reading, zone: Zone, shared: Resolved, ledger: Ledger) -> Read:
    """Return a reading put right, and what keeps it from overruling the model."""
    given, meter, species = reading.given, reading.meter, reading.species
    ends = ledger.value(meter.reads_from), ledger.value(meter.reads_to)
    if species is not None and species.modification != "none" and meter.by_resistance:
        findings.no_scale(reading, species, ledger)
        return Read(reading, None, None, clause("no-scale-for-wood"), ())
    if out := _out_of_range(reading, given.reading, *ends, ledger, corrected=False):
        return out
    findings.salts(zone, meter, ledger)
    found = _for_species(reading, _for_temperature(reading, shared, ledger), shared, ledger)
    if out := _out_of_range(reading, spread.value(found), *ends, ledger, corrected=True):
        return out
    return Read(reading, found, None, None, (*_doubts(reading, zone), *_too_far(reading, ledger)))


def _out_of_range(
    reading: Reading, value: float, least: float, most: float, ledger: Ledger, *, corrected: bool
) -> Read | None:
    if least <= value <= most:
        return None
    above = value > most
    why = findings.out_of_range(reading, most if above else least, ledger, above=above, corrected=corrected)
    return Read(reading, None, most if above else None, why, ())


def _for_temperature(reading: Reading, shared: Resolved, ledger: Ledger) -> float:
    given, meter = reading.given, reading.meter
    if given.compensated or meter.calibration_temperature is None or meter.temperature_step is None:
        return given.reading
    if given.wood_temperature is None:
        findings.temperature_unknown(reading, ledger)
        return given.reading
    read = {"reading": given.reading, "wood_temperature": given.wood_temperature}
    if shared.temperature_rule == "pfaff-garrahan":
        ledger.use("input/temperature_rule", "pfaff-garrahan", "recalled", note=clause("constants-recalled"))
        return spread.value(ledger.step(formulas.corrected_by_pfaff_garrahan, "", **read))
    at, step = ledger.take(meter.calibration_temperature), ledger.take(meter.temperature_step)
    return spread.value(ledger.step(formulas.corrected_by_rule, "", **read, calibration_temperature=at, step=step))


def _for_species(reading: Reading, warm: float, shared: Resolved, ledger: Ledger) -> Number:
    """Return the moisture content by the chosen rule; where nothing is published for the wood, as read."""
    species = reading.species
    as_read = species is None or reading.given.species_set or not reading.meter.by_resistance
    if species is None or as_read or shared.species_rule == "none":
        return warm
    if shared.species_rule == "resistance" and species.meter_resistance:
        columns = [_column(one.meter_resistance, ledger) for one in (shared.scale, species)]
        found = formulas.read_on_scale(warm, *columns)
        if found is not None:
            findings.recalled_table(ledger)
            return found
    if not species.meter_correction:
        findings.no_correction(reading, species, ledger)
        return warm
    return _tabulated(warm, species, ledger)


def _too_far(reading: Reading, ledger: Ledger) -> list[Clause]:
    """Return a doubt where the wood is colder or warmer than any correction for temperature was made for."""
    given, least, most = reading.given, reading.meter.corrects_from, reading.meter.corrects_to
    if given.wood_temperature is None or given.compensated or least is None or most is None:
        return []
    if spread.value(least.si) <= given.wood_temperature <= spread.value(most.si):
        return []
    findings.beyond_temperatures(reading, ledger.value(least), ledger.value(most), ledger)
    return [TOO_FAR]


def _column(numbers: Mapping[str, Sourced], ledger: Ledger) -> dict[str, float]:
    return {key: ledger.value(number) for key, number in numbers.items()}


def _tabulated(reading: float, species: Species, ledger: Ledger) -> Number:
    numbers = {key: ledger.take(number) for key, number in species.meter_correction.items()}
    low, middle, high = (
        formulas.tabulated(reading, {key: part(number) for key, number in numbers.items()})
        for part in (spread.low, spread.value, spread.high)
    )
    corrected = ledger.step(formulas.corrected_for_species, reading=reading, correction=middle)
    if low == high:
        return corrected
    path = f"species/{species.id}/meter_correction"
    ends = (max(reading + low, 0.0), spread.value(corrected), reading + high)
    return spread.normal(path, *ends, lowest=0.0)


def _doubts(reading: Reading, zone: Zone) -> list[Clause]:
    """Return what keeps a reading from overruling the model, but for its time."""
    found = []
    if reading.given.pin_depth is None:
        found.append(clause("depth-not-stated"))
    if reading.species is None or reading.species.members:
        found.append(clause("species-not-known"))
    if zone.given.treatment not in (None, "none"):
        found.append(clause("salts-change-it"))
    if zone.given.coated_before:
        found.append(clause("coating-changes-it"))
    return found
