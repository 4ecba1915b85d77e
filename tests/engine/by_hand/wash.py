"""Detergent, then bleach, on 20 m2 of cedar, worked by hand."""

import pytest
from tests.engine.by_hand.case import Case, between, draws

AREA = 20.0
# A US gallon is 3.785411784 L, a square foot 0.09290304 m2; 100 to 200 ft2 a gallon for both, common practice.
FOOT_A_GALLON = 0.09290304 / 3.785411784
LEAST, USUAL, MOST = between(100 * FOOT_A_GALLON, 200 * FOOT_A_GALLON)
VOLUME = (AREA / MOST, AREA / USUAL, AREA / LEAST)
# A litre on a square metre stands a millimetre deep; 5, 10 or 20 mm for detergent, 10, 20 or 30 for bleach: judgement.
RINSE = (AREA * 5, AREA * 10, AREA * 20)
RINSE_BLEACH = (AREA * 10, AREA * 20, AREA * 30)
# 10 g in a litre, of a powder that is half active: 20 g of powder a litre, in as much water as solution.
# 10 g in a litre, of a liquid of 50 g in a litre: a fifth is stock, four fifths are water.
RINSES = draws(1, *RINSE) + draws(2, *RINSE_BLEACH)
WATER = RINSES + draws(3, *VOLUME) + 0.8 * draws(4, *VOLUME)
# Pound force and inch are exact.
PSI = 4.4482216152605 / 0.0254**2 / 1e5


def times(share: float) -> tuple[float, float, float]:
    """Take a share of the volume of a mix."""
    low, usual, high = VOLUME
    return share * low, share * usual, share * high


CASE = Case(
    "wash",
    {
        "area": "20 m2",
        "species": "western-redcedar",
        "treatment": "none",
        "old_coating": "none",
        "year_built": 2015,
        "jurisdiction": "US-NY",
        "soil": ["dirt", "mildew"],
        "weathered": False,
        "stages": [
            {"agent": "detergent", "strength": "10 g/L", "active": "50 %", "dwell": "10 min"},
            {"agent": "hypochlorite", "strength": "10 g/L", "stock_strength": "50 g/L", "dwell": "15 min"},
        ],
        "pressure_rule": "gentle",
    },
    {
        "stages.1.strength g/L": 10.0,
        "stages.1.solution_volume L": VOLUME,
        "stages.1.product_mass kg": times(0.020),
        "stages.1.water_volume L": VOLUME,
        "stages.1.dwell min": 10.0,
        "stages.1.rinse_volume L": RINSE,
        "stages.2.strength g/L": 10.0,
        "stages.2.stock_strength g/L": 50.0,
        "stages.2.solution_volume L": VOLUME,
        "stages.2.stock_volume L": times(0.2),
        # The difference of two amounts of one unknown is interpolated between the engine's draws.
        "stages.2.water_volume L": tuple(pytest.approx(volume, rel=1e-6) for volume in times(0.8)),
        "stages.2.dwell min": 15.0,
        "stages.2.rinse_volume L": RINSE_BLEACH,
        "water_volume L": WATER,
        "rinse_volume L": RINSES,
        # Softwood from 500 psi on and not over 600 (deck-pressure-pages); a fan of 40 to 60 degrees, never nearer than
        # 12 in (fan-nozzle-page).
        "pressure_start bar": 500 * PSI,
        "pressure_ceiling bar": 600 * PSI,
        "fan_angle deg": between(40.0, 60.0),
        "standoff mm": 12 * 25.4,
        # Sound boards are wetted 1 mm deep (saw-slit-study), for as long as the agents act.
        "wetting.wetted_depth mm": 1.0,
        "wetting.duration min": 10.0 + 15.0,
        # Water: a kilogram a litre.
        "waste.wash-water.waste_mass kg": WATER,
        "waste.wash-water.waste_volume L": WATER,
    },
    {"waste.*.container_count": "rinse water is led away, not caught"},
)
