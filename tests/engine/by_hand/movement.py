"""A flat-sawn board of ipe that dries, worked by hand."""

from tests.engine.by_hand.case import Case

# Green to oven-dry, fpl-tropical-timbers, sheet Tabebuia: 8 % tangential, 6.6 % radial.
TANGENTIAL, RADIAL = 0.08, 0.066
# Fibre saturation where no other is known: Wood Handbook, FPL-GTR-190, ch. 13.
SATURATION = 0.30
BEFORE, AFTER = 0.10, 0.20
WIDTH, THICKNESS, GAP = 140.0, 25.0, 20.0

# Wood Handbook, ch. 13, eq. 13-3: change = D (M2 - M1) / (30/S - 30 + M1), all in percent:
# across 30/0.08 = 375, 375 - 30 + 10 = 355; 140 x 10 / 355 = 3.943... mm.
ACROSS = WIDTH * 10 / (100 * SATURATION / TANGENTIAL - 30 + 10)
# through 30/0.066 = 454.545, - 20 = 434.545; 25 x 10 / 434.545 = 0.5753 mm.
THROUGH = THICKNESS * 10 / (100 * SATURATION / RADIAL - 30 + 10)

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
        "width_change mm": ACROSS,
        "width_after mm": WIDTH + ACROSS,
        "thickness_change mm": THROUGH,
        # Boards fixed on joists that keep their distance: what a board grows the gap loses. Geometry.
        "gap_after mm": GAP - ACROSS,
        "moisture_to %": 20.0,
        # One point from 10 %, the same equation: 1/355 of the width, in percent.
        "coefficient %": 100 / 355,
    },
)
