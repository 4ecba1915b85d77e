"""A flat-sawn board of ipe that dries, worked by hand."""

from tests.engine.by_hand.case import Case

# Green to oven-dry, fpl-tropical-timbers, sheet Tabebuia: 8 % tangential, 6.6 % radial; sheets of single species give
# 5.6 to 10.1 % and 3.3 to 7.4 %.
TANGENTIAL, RADIAL = (0.056, 0.08, 0.101), (0.033, 0.066, 0.074)
# Boards of one wood differ by 15 % (one standard deviation, from memory of the Wood Handbook); nine in ten stay below
# 1.2816 of them. The wider of both ends holds.
SPREAD = 1.2815515655446004 * 0.15
# Fibre saturation where no other is known: Wood Handbook, FPL-GTR-190, ch. 13.
SATURATION = 0.30
BEFORE, AFTER = 0.10, 0.20
WIDTH, THICKNESS, GAP = 140.0, 25.0, 20.0


def wider(low: float, usual: float, high: float) -> tuple[float, float, float]:
    return min(low, usual * (1 - SPREAD)), usual, max(high, usual * (1 + SPREAD))


def change(size: float, shrinkage: float) -> float:
    """Wood Handbook, ch. 13, eq. 13-3: change = D (M2 - M1) / (30/S - 30 + M1), all in percent.

    Across, 30/0.08 = 375, 375 - 30 + 10 = 355; 140 x 10 / 355 = 3.943... mm.
    Through, 30/0.066 = 454.545, - 20 = 434.545; 25 x 10 / 434.545 = 0.5753 mm.
    """
    return size * 10 / (100 * SATURATION / shrinkage - 30 + 10)


ACROSS = [change(WIDTH, one) for one in wider(*TANGENTIAL)]
THROUGH = [change(THICKNESS, one) for one in wider(*RADIAL)]

CASE = Case(
    "movement",
    {
        "species": "ipe",
        "width": "140 mm",
        "thickness": "25 mm",
        "grain": "flat-sawn",
        "moisture_from": "10 %",
        "moisture_to": "20 %",
        "gap": "20 mm",
    },
    {
        "width_change mm": tuple(ACROSS),
        "width_after mm": tuple(WIDTH + one for one in ACROSS),
        "thickness_change mm": tuple(THROUGH),
        # Boards fixed on joists that keep their distance: what a board grows the gap loses. Geometry.
        "gap_after mm": tuple(GAP - one for one in reversed(ACROSS)),
        "moisture_to %": 20.0,
        # One point from 10 %, the same equation: 1/355 of the width, in percent.
        "coefficient %": tuple(10 * one / WIDTH for one in ACROSS),
    },
)
