"""What preparation goes by, once everything that was left out is put in."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from latewood.calculators.preparation.fields import Prefer, RateOverride
from latewood.formulas import sorption
from latewood.messages import Clause
from latewood.records import Condition, ConditionRule, Rate, Route, Species
from latewood.records.moisture import DryingModel
from latewood.rules.hazard_fields import Old
from latewood.rules.hazards import Years
from latewood.rules.hazards_found import Found
from latewood.rules.lead import Extraction
from latewood.rules.route_work import RouteWork
from latewood.rules.sanding_work.method import Method, SandedFace
from latewood.rules.sign_actions import Measured
from latewood.rules.signs import Beading, Sign
from latewood.rules.surface_layers import Covering
from latewood.rules.weathering import Weathering
from latewood.uncertainty.spread import Number
from latewood.weather import Exposure, Hours


@dataclass(frozen=True)
class Surface:
    """What is to be prepared: what covers it, whether grey shows, how weathered it is, and the hazards in it.

    ``beads`` is how long new treated wood waits first because water beads on it, s; None where it does not.
    ``halt`` is what stops it altogether, ``unscuffed`` why a light pass is not enough, both by what is seen.
    """

    state: Covering
    grey: bool
    hazards: Found
    weathering: Weathering
    beads: Number | None
    halt: tuple[Clause, ...]
    unscuffed: tuple[Clause, ...]
    #: Why no sander takes hollows out, None where they were not measured or are shallow.
    too_hollow: Clause | None
    #: Whether it is new treated wood of which nobody said whether water beads on it.
    untested: bool


@dataclass(frozen=True)
class Climate:
    """The mean climate the wood dries in (K, share), and the hours it is the mean of, where they are known."""

    temperature: float
    relative_humidity: float
    hours: Hours | None = None

    @property
    def settled(self) -> float:
        """The moisture content wood settles at in it."""
        return float(
            sorption.equilibrium_moisture(temperature=self.temperature, relative_humidity=self.relative_humidity)
        )


@dataclass(frozen=True)
class WetBoards:
    """Boards that dry: wood, thickness where it is given, shelter, the model they dry by, and the pressure (Pa)."""

    species: Species | None
    thickness: float | None
    exposure: Exposure | None
    model: DryingModel
    pressure: float


@dataclass(frozen=True)
class Heads:
    """What sanding a route meets: work on heads before it, or why no machine may go over them."""

    time: Number | None = None
    prohibition_reason: Clause | None = None
    #: Whether it comes before anything wets the wood: steel that stains is replaced first.
    before_water: bool = False


@dataclass(frozen=True)
class Resolved:
    """One surface, the crew and climate it is prepared in, and the records that hold for it.

    ``depth`` is how deep a wash goes in, ``limit`` the moisture content it dries to, ``seen`` the layer a sander meets.
    ``first`` is the day of the first morning, ``begins`` the same where it is a day of work.
    """

    area: float
    material: str
    species: Species | None
    signs: tuple[Sign, ...]
    measured: Measured
    condition_rule: ConditionRule
    beading: Beading | None
    old_coating: Old | None
    grooved: bool
    extraction: Extraction | None
    surface: Surface
    years: Years
    first: date | None
    begins: date | None
    ready_by: date | None
    crew: int
    day_length: float
    hire_block: float | None
    prefer: Prefer
    route: Route | None
    depth: float
    limit: float
    climate: Climate
    boards: WetBoards
    works: tuple[RouteWork, ...]
    rates: Mapping[str, Rate]
    own_rates: Mapping[str, RateOverride]
    method: Method
    floor: tuple[SandedFace, ...]
    seen: Condition

    @property
    def group(self) -> str:
        """Whether it is softwood or hardwood; softwood where no species is given."""
        return "softwood" if self.species is None else self.species.group
