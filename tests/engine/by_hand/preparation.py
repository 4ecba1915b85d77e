"""A grey cedar floor of 8 m2 by every route, one person at paces of their own, worked by hand."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np
from tests.engine.by_hand.case import Case, Quantile, between, draws
from tests.engine.by_hand.case_slab import FASTER, washed

Lines = dict[str, Any]

AREA, DENSITY = 8.0, 365.0
# Layers are stated for 500 kg/m3 and are deeper in lighter wood. P60 leaves scratches of a quarter of its 269 um
# (judgement), which P80 takes off.
LIGHTER, SCRATCHES = 500 / DENSITY, 0.25 * 269
# Grey, faded oil, wood under a film, the film itself, and ridges (um): common practice, judgement and, of ridges, Wood
# Handbook, Table 16-2. Ridges stand on half of the surface, and a film is as thick on any wood.
GREY, FADED, BELOW, FILM, RIDGES = (100, 200), (30, 80), (50, 150), (80, 250), (165, 510)
USUAL, USUAL_FILM = between(*GREY)[1] * LIGHTER, between(*GREY)[1] * LIGHTER + between(*FILM)[1]

# A floor by 8 m2/h at first, 4 through a film, on a layer like the usual one; 16 with the second grade.
AGAIN = AREA / 16
GREY_TIME = tuple(AREA / 8 * depth * LIGHTER / USUAL + AGAIN for depth in between(*GREY))
FADED_TIME = tuple(AREA / 8 * depth * LIGHTER / USUAL + AGAIN for depth in between(*FADED))


def lognormal(seed: int, ends: tuple[float, float]) -> np.ndarray:
    """Draw from a range."""
    return draws(seed, *between(*ends))


BELOW_FILM = lognormal(1, BELOW) * LIGHTER + lognormal(2, FILM)
BELOW_FILM_USUAL = between(*BELOW)[1] * LIGHTER + between(*FILM)[1]
ROUGH_GREY, ROUGH_RIDGES = lognormal(3, GREY) * LIGHTER, lognormal(4, RIDGES) * LIGHTER
ROUGH, ROUGH_USUAL = (ROUGH_GREY + ROUGH_RIDGES / 2, (between(*GREY)[1] + between(*RIDGES)[1] / 2) * LIGHTER)
FILM_TIME, ROUGH_TIME = AREA / 4 * BELOW_FILM / USUAL_FILM + AGAIN, AREA / 8 * ROUGH / USUAL + AGAIN
FILM_MIDDLE = AREA / 4 * BELOW_FILM_USUAL / USUAL_FILM + AGAIN
ROUGH_MIDDLE = AREA / 8 * ROUGH_USUAL / USUAL + AGAIN

# Discs of 150 mm: 0.7, 2, 3 m2 of grey softwood (brazil-federal-costs and practice), 0.3, 0.8, 1.5 m2 of film, and 1.5
# to 2 times as much with the second grade (common practice).
LIFE, LIFE_ON_FILM = draws(5, 0.7, 2, 3), draws(6, 0.3, 0.8, 1.5)
SECOND = AREA / (LIFE * lognormal(7, (1.5, 2)))
DISCS = {
    "sand": AREA * lognormal(8, GREY) * LIGHTER / USUAL / LIFE + SECOND,
    "wash-and-sand": AREA * lognormal(9, FADED) * LIGHTER / USUAL / LIFE + SECOND,
    "sand-off-film": AREA * BELOW_FILM / USUAL_FILM / LIFE_ON_FILM + SECOND,
    "strip-and-sand": AREA * ROUGH / USUAL / LIFE + SECOND,
}
DISCS["refresh"] = DISCS["wash-and-sand"]

# Vacuumed after each of two grades at 80 m2/h; half an hour to set up each day. Washed at 32 m2/h, by hand at 16,
# brightened at 32, stripped at 8.
VACUUM, SET_UP = 2 * AREA / 80, 0.5
WASH, BY_HAND, BRIGHTEN, STRIP = AREA / 32, AREA / 16, AREA / 32, AREA / 8

# A wash goes 3 mm deep, as told. It is coated at 18 % (judgement), and sanded at 20 %, but not before 12 h (judgement).
DRY = tuple(washed(0.18, 0.003, faster)[1] / 3600 for faster in FASTER)
SANDABLE = max(12.0, *(washed(0.20, 0.003, faster)[1] / 3600 for faster in FASTER))
# Sanding begins on the second morning: washed at 1 or 1.75 h, and 12 h later the day of 8 h is over.
SECOND_MORNING = 24 + SET_UP

# Feet and gallons are exact. Each agent as its record has it, common practice: area a gallon wets (ft2), grams in a
# litre, rinses in mm (judgement).
LITRES = 3.785411784 / 0.09290304 * AREA


@dataclass(frozen=True)
class Agent:
    """What an agent takes (L, kg, L): as a step says it, and as draws to add to another's."""

    solution: tuple[float, float, float]
    rinse: tuple[float, float, float]
    drawn: tuple[np.ndarray, np.ndarray, np.ndarray]

    @property
    def lines(self) -> Lines:
        """The lines of its step."""
        return taken(self.solution, self.drawn[1], self.rinse)


def taken(solution: Any, product: Any, rinse: Any) -> Lines:
    """Return the lines of what is taken."""
    return {"solution_volume L": solution, "product_mass kg": product, "rinse_volume L": rinse}


def agent(
    seed: int, wets: tuple[float, float], strength: tuple[float, float], rinse: tuple[float, float, float]
) -> Agent:
    """Return what an agent takes on the floor."""
    most, usual, least = (LITRES / feet for feet in between(*wets))
    low, middle, high = (AREA * depth for depth in rinse)
    solution = draws(seed, least, usual, most)
    product = solution * lognormal(seed + 1, strength) / 1000
    return Agent((least, usual, most), (low, middle, high), (solution, product, draws(seed + 2, low, middle, high)))


PERCARBONATE = agent(10, (100, 200), (30, 60), (5, 10, 20))
OXALIC = agent(20, (150, 250), (30, 120), (5, 10, 20))
HYDROXIDE = agent(30, (50, 150), (40, 120), (10, 20, 40))
NOTHING = taken(0.0, 0.0, 0.0)


def both(one: Agent, other: Agent) -> Lines:
    """Return what two agents take together."""
    return taken(*(first + second for first, second in zip(one.drawn, other.drawn, strict=True)))


def step(time: Any, by: Agent | None = None) -> Lines:
    """Return the lines of a step."""
    return {"work_time h": time, **({} if by is None else by.lines)}


def sanded(route: str, time: Any, gone: Any, dust: Any) -> Lines:
    """Return the lines of the sanding of a route: depths (um) are gone with the scratches of P60, and become dust.

    A hired sander is there for blocks of 4 h.
    """
    longest = time[2] if isinstance(time, tuple) else float(np.quantile(time, 0.9))
    return {
        "removal mm": each(gone, lambda depth: (depth + SCRATCHES) / 1000),
        "sanding_time h": time,
        "vacuum_time h": VACUUM,
        "dust_mass kg": each(dust, lambda depth: (depth + SCRATCHES) / 1e6 * DENSITY * AREA),
        "typical_count": Quantile(DISCS[route], 0.5, whole=True),
        "disc_count": Quantile(DISCS[route], 0.9, whole=True),
        "hire_blocks": math.ceil(longest / 4),
    }


def each(numbers: Any, made: Callable[[Any], Any]) -> Any:
    """Make a number of each quantile, or of all draws."""
    return tuple(map(made, numbers)) if isinstance(numbers, tuple) else made(numbers)


def more(hours: tuple[float, ...], than: float) -> tuple[float, ...]:
    """Add to each."""
    return tuple(than + one for one in hours)


def days(*hours: float) -> tuple[float, ...]:
    """Return hours from the first morning in days."""
    return tuple(one / 24 for one in hours)


GREY_DEPTH, FADED_DEPTH = (tuple(depth * LIGHTER for depth in between(*layer)) for layer in (GREY, FADED))
VACUUMING = step(VACUUM)
FIRST_DAY, SECOND_DAY = {"ready_morning": 1, "ready_on": "2026-06-01"}, {"ready_morning": 2, "ready_on": "2026-06-02"}
ROUTES: Lines = {
    "sand": {
        **FIRST_DAY,
        "elapsed d": days(*more(GREY_TIME, SET_UP + VACUUM)),
        "work_time h": more(GREY_TIME, SET_UP + VACUUM),
        **sanded("sand", GREY_TIME, GREY_DEPTH, GREY_DEPTH),
        **NOTHING,
        "steps": {"sand": step(GREY_TIME), "vacuum": VACUUMING},
    },
    "wash-and-sand": {
        **SECOND_DAY,
        "elapsed d": days(*more(FADED_TIME, SECOND_MORNING + VACUUM)),
        # Set up on two days.
        "work_time h": more(FADED_TIME, WASH + BRIGHTEN + VACUUM + 2 * SET_UP),
        "washed_after h": SET_UP + WASH + BRIGHTEN,
        "drying_time h": DRY,
        **sanded("wash-and-sand", FADED_TIME, FADED_DEPTH, FADED_DEPTH),
        **both(PERCARBONATE, OXALIC),
        "steps": {
            "clean": step(WASH, PERCARBONATE),
            "brighten": step(BRIGHTEN, OXALIC),
            "sand": step(FADED_TIME),
            "vacuum": VACUUMING,
        },
    },
    "refresh": {
        **FIRST_DAY,
        "elapsed d": days(*more(FADED_TIME, SET_UP + VACUUM)),
        "work_time h": more(FADED_TIME, SET_UP + VACUUM),
        **sanded("refresh", FADED_TIME, FADED_DEPTH, FADED_DEPTH),
        **NOTHING,
        "steps": {"scuff": step(FADED_TIME), "vacuum": VACUUMING},
    },
    "sand-off-film": {
        **FIRST_DAY,
        # Days are counted with the work at its low end, with each unknown in the middle, and at its high end.
        "elapsed d": (
            Quantile((FILM_TIME + SET_UP + VACUUM) / 24, 0.1),
            (FILM_MIDDLE + SET_UP + VACUUM) / 24,
            Quantile((FILM_TIME + SET_UP + VACUUM) / 24, 0.9),
        ),
        "work_time h": FILM_TIME + SET_UP + VACUUM,
        **sanded("sand-off-film", FILM_TIME, BELOW_FILM, BELOW_FILM),
        **NOTHING,
        "steps": {"sand": step(FILM_TIME), "vacuum": VACUUMING},
    },
    "hand-wash": {
        **SECOND_DAY,
        "elapsed d": days(*more(DRY, SET_UP + BY_HAND + BRIGHTEN)),
        "work_time h": SET_UP + BY_HAND + BRIGHTEN,
        "washed_after h": SET_UP + BY_HAND + BRIGHTEN,
        "drying_time h": DRY,
        "removal mm": 0.0,
        "typical_count": 0,
        "disc_count": 0,
        **both(PERCARBONATE, OXALIC),
        "steps": {"clean": step(BY_HAND, PERCARBONATE), "brighten": step(BRIGHTEN, OXALIC)},
    },
    "strip-and-sand": {
        **SECOND_DAY,
        "elapsed d": (
            Quantile((ROUGH_TIME + SECOND_MORNING + VACUUM) / 24, 0.1),
            (ROUGH_MIDDLE + SECOND_MORNING + VACUUM) / 24,
            Quantile((ROUGH_TIME + SECOND_MORNING + VACUUM) / 24, 0.9),
        ),
        "work_time h": ROUGH_TIME + STRIP + BRIGHTEN + VACUUM + 2 * SET_UP,
        "washed_after h": SET_UP + STRIP + BRIGHTEN,
        "drying_time h": DRY,
        # Heads lie below the whole ridge; half of it is wood, and becomes dust.
        **sanded("strip-and-sand", ROUGH_TIME, ROUGH_GREY + ROUGH_RIDGES, ROUGH),
        **both(HYDROXIDE, OXALIC),
        "steps": {
            "strip": step(STRIP, HYDROXIDE),
            "neutralise": step(BRIGHTEN, OXALIC),
            "sand": step(ROUGH_TIME),
            "vacuum": VACUUMING,
        },
    },
}


def lines(at: str, named: Lines) -> Lines:
    """Return lines with their whole paths."""
    found: Lines = {}
    for name, value in named.items():
        found |= lines(f"{at}.{name}", value) if isinstance(value, dict) else {f"{at}.{name}": value}
    return found


OWN = {
    "sand-first-softwood": 8,
    "sand-first-film": 4,
    "sand-later": 16,
    "vacuum-floor": 80,
    "wash-and-rinse": 32,
    "wash-by-hand": 16,
    "brighten-and-rinse": 32,
    "strip-and-rinse": 8,
}
CASE = Case(
    "preparation",
    {
        "area": "8 m2",
        "species": "western-redcedar",
        "treatment": "none",
        "treatment_evidence": "end-tag",
        "frame": {"material": "metal"},
        "old_coating": "none",
        "year_built": 2015,
        "jurisdiction": "US-NY",
        "signs": ["grey"],
        "coating": "semi-transparent-oil-stain",
        "thickness": "25 mm",
        "wetted_depth": "3 mm",
        "temperature": "20 degC",
        "relative_humidity": "50 %",
        "practice": "open-grain",
        "parts": [{"part": "field", "first_grade": "p60"}],
        "last_grade": "p80",
        "crew": 1,
        "day_length": "8 h",
        "start": "2026-06-01",
        "hire_block": "4 h",
        "rates": [
            {"rate": "day-set-up", "time": "0.5 h"},
            *({"rate": rate, "area_pace": f"{pace} m2/h"} for rate, pace in OWN.items()),
        ],
    },
    {
        "drying_time h": DRY,
        **{path: number for id, route in ROUTES.items() for path, number in lines(f"routes.{id}", route).items()},
    },
    {
        "test_again_after": "water does not bead on it",
        "test_again_on": "water does not bead on it",
        "routes.*.washed_at": "a mean climate tells no day",
    },
)
