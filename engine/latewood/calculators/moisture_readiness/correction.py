"""Readings put right: temperature first, then species; what is beyond the meter is no number."""

from __future__ import annotations

from dataclasses import dataclass

from latewood.calculators.moisture_readiness.fields import MoistureReading, ReadinessZone
from latewood.calculators.moisture_readiness.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.formulas import meter as formulas
from latewood.formulas.air import ZERO_CELSIUS
from latewood.provenance import Ledger, Sourced
from latewood.records import MoistureMeter, Species
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

#: The species a resistance meter's own scale stands for, in every handbook of them.
SCALE = "douglas-fir"
#: A doubt that asks for another reading, even where nothing wetted the boards.
TOO_FAR = "its temperature is beyond what corrections are known for"


@dataclass(frozen=True)
class Read:
    """One reading: corrected, or out of the meter's range on one side, or of no use."""

    place: int
    given: MoistureReading
    corrected: Number | None
    #: At least so much, where the meter's scale ends below the wood.
    at_least: float | None
    why: str
    doubts: tuple[str, ...]

    @property
    def usable(self) -> bool:
        """Whether it counts, as a number or as being above the scale."""
        return self.corrected is not None or self.at_least is not None

    @property
    def value(self) -> float:
        """The corrected moisture content, or the end of the scale it lies above."""
        return spread.value(self.corrected) if self.corrected is not None else float(self.at_least or 0.0)


def correct(
    x: Inputs, place: int, given: MoistureReading, zone: ReadinessZone, ledger: Ledger, known: RecordLookup
) -> Read:
    """Return a reading put right, and what keeps it from overruling the model."""
    meter: MoistureMeter = given.meter or known.record("moisture-meter", "resistance")
    species = given.species or zone.species or x.species
    pointer = f"/readings/{place}"
    least, most = (spread.value(ledger.take(number)) for number in (meter.reads_from, meter.reads_to))
    if species is not None and species.modification != "none" and meter.by_resistance:
        message = (
            f"{species.title} conducts in its own way: no meter scale holds for it, so its readings are no numbers."
        )
        ledger.find("modified-wood", "warning", message, pointer=f"{pointer}/species", species=species.id)
        return Read(place, given, None, None, "no meter scale holds for this wood", ())
    if given.reading > most:
        message = f"Above {most:.0%} a meter only says wet: the reading is taken as more than that, not as a number."
        ledger.find("above-meter-range", "warning", message, pointer=f"{pointer}/reading")
        return Read(
            place, given, None, most, "above what the meter can tell as a number", ("out of the meter's range",)
        )
    if given.reading < least:
        message = f"Below {least:.0%} the meter cannot tell: such a reading does not count."
        ledger.find("below-meter-range", "warning", message, pointer=f"{pointer}/reading")
        return Read(place, given, None, None, "below what the meter can tell", ())
    _say_of_salts(zone, meter, ledger)
    warm = _for_temperature(x, given, meter, pointer, ledger)
    found = _for_species(x, warm, given, species, meter, pointer, ledger, known)
    if spread.value(found) < least:
        message = f"Put right, a reading is below the {least:.0%} from which the meter can tell: it does not count."
        ledger.find("below-meter-range", "warning", message, pointer=f"{pointer}/reading")
        return Read(place, given, None, None, "below what the meter can tell, once corrected", ())
    if spread.value(found) > most:
        message = f"Put right, a reading is above {most:.0%}: it is taken as more than that, not as a number."
        ledger.find("above-meter-range", "warning", message, pointer=f"{pointer}/reading")
        return Read(place, given, None, most, "above what the meter can tell, once corrected", ("out of range",))
    return Read(
        place, given, found, None, "", (*_doubts(given, zone, species), *_too_far(given, meter, pointer, ledger))
    )


def _say_of_salts(zone: ReadinessZone, meter: MoistureMeter, ledger: Ledger) -> None:
    if zone.treatment not in ("copper", "arsenical", "unknown") or meter.treated_high is None:
        return
    high = ledger.take(meter.treated_high)
    message = (
        f"In wood with a waterborne preservative such a meter reads {spread.low(high) * 100:.0f} to "
        f"{spread.high(high) * 100:.0f} points high. Nothing is taken off for that: the wood may be drier."
    )
    ledger.find("treated-reads-high", "note", message, pointer="/readings")


def _for_temperature(x: Inputs, given: MoistureReading, meter: MoistureMeter, pointer: str, ledger: Ledger) -> float:
    if given.compensated or meter.calibration_temperature is None or meter.temperature_step is None:
        return given.reading
    if given.wood_temperature is None:
        message = (
            "The temperature of the wood was not given, so the reading was not corrected for it. At 35 °C a reading of "
            "16 % is about 14.5, at 5 °C one of 15 % is about 16.5."
        )
        ledger.find("wood-temperature-unknown", "note", message, pointer=f"{pointer}/wood_temperature")
        return given.reading
    if x.temperature_rule == "pfaff-garrahan":
        ledger.use("input/temperature_rule", "pfaff-garrahan", "recalled", note="constants recalled, not read")
        found = ledger.step(
            formulas.corrected_by_pfaff_garrahan, reading=given.reading, wood_temperature=given.wood_temperature
        )
    else:
        found = ledger.step(
            formulas.corrected_by_rule,
            reading=given.reading,
            wood_temperature=given.wood_temperature,
            calibration_temperature=ledger.take(meter.calibration_temperature),
            step=ledger.take(meter.temperature_step),
        )
    return spread.value(found)


def _for_species(
    x: Inputs,
    reading: float,
    given: MoistureReading,
    species: Species | None,
    meter: MoistureMeter,
    pointer: str,
    ledger: Ledger,
    known: RecordLookup,
) -> Number:
    """Return the moisture content by the chosen rule; where nothing is published for the wood, as read."""
    if species is None or given.species_set or not meter.by_resistance or x.species_rule == "none":
        return reading
    if x.species_rule == "resistance" and species.meter_resistance:
        scale: Species = known.record("species", SCALE)
        columns = [_column(one.meter_resistance, ledger) for one in (scale, species)]
        found = formulas.read_on_scale(reading, *columns)
        if found is not None:
            message = (
                "Corrected through resistance by a table that was recalled, not read: confirm it before relying on it."
            )
            ledger.find("resistance-table-recalled", "warning", message, pointer="/species_rule")
            return found
    if not species.meter_correction:
        said = (f.params.get("species") for f in ledger.findings if f.id == "no-species-correction")
        if species.id not in said:
            message = f"No correction of meters is published for {species.title}; readings in it stand as they are."
            ledger.find("no-species-correction", "note", message, pointer=f"{pointer}/species", species=species.id)
        return reading
    return _tabulated(reading, species, ledger)


def _too_far(given: MoistureReading, meter: MoistureMeter, pointer: str, ledger: Ledger) -> list[str]:
    """Return a doubt where the wood is colder or warmer than any correction for temperature was made for."""
    least, most = meter.corrects_from, meter.corrects_to
    if given.wood_temperature is None or given.compensated or least is None or most is None:
        return []
    if spread.value(least.si) <= given.wood_temperature <= spread.value(most.si):
        return []
    low, high = ledger.take(least), ledger.take(most)
    message = (
        f"Corrections for temperature are known from {spread.value(low) - ZERO_CELSIUS:g} to "
        f"{spread.value(high) - ZERO_CELSIUS:g} °C; this wood lies outside, so the reading is evidence only."
    )
    ledger.find("beyond-temperature-correction", "warning", message, pointer=f"{pointer}/wood_temperature")
    return [TOO_FAR]


def _column(numbers: object, ledger: Ledger) -> dict[str, float]:
    table: dict[str, Sourced] = dict(numbers)  # type: ignore[call-overload]  # a mapping of Sourced
    return {key: spread.value(ledger.take(number)) for key, number in table.items()}


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


def _doubts(given: MoistureReading, zone: ReadinessZone, species: Species | None) -> list[str]:
    """Return what keeps a reading from overruling the model, but for its time."""
    found = []
    if given.pin_depth is None:
        found.append("its depth is not stated")
    if species is None or species.members:
        found.append("the species is not known")
    if zone.treatment not in (None, "none"):
        found.append("salts of the preservative change it")
    if zone.coated_before:
        found.append("an old coating changes it")
    return found
