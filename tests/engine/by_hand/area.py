"""A small floor with a wall, a guard, a flight of stairs, a fascia and a lattice, taken off by hand. Plane geometry."""

import math

from tests.engine.by_hand.case import Case

# Floor of 3.6 by 1.4 m; boards 140 wide and 25 thick with gaps of 5: a pitch of 145 mm.
LENGTH, WIDTH = 3.6, 1.4
FLOOR = LENGTH * WIDTH
# Nine whole boards take 9 x 145 = 1305 mm; the tenth is ripped to 1400 - 1305 = 95 mm.
COVERED = 9 * 0.140 + 0.095
TOP = LENGTH * COVERED
GAP_LENGTH = 9 * LENGTH
GAP_FACES = 2 * 0.025 * GAP_LENGTH
# Both ends of every board; at butt joints the ends touch.
END_GRAIN = 2 * COVERED * 0.025
# Joists every 400 mm: 3.6 / 0.4 = 9 spaces, so 10. A board of 2 m ends on the sixth of them, and 1.6 m is left: one
# joint a board. Both boards of a joint are fastened to its joist: 10 x 10 + 10 crossings, two fasteners at each.
CROSSINGS = 10 * 10 + 10

# Guard of 2 m between post centres, 900 high, one bay: 2000 - 90 = 1910 mm clear.
CLEAR = 1.910
# Fewest balusters of 40 with no gap above 100: 13 leave 14 gaps of (1910 - 520)/14 = 99.3; 12 would leave 110.
BALUSTERS, BALUSTER_GAP = 13, (1910 - 13 * 40) / 14
# A baluster is what cap, two rails of 90 and the clearance of 75 leave: 900 - 25 - 180 - 75 = 620 mm. Girths of 160,
# 260 (rail 40 by 90), 330 (cap 25 by 140) and 360 mm (post 90 by 90, up to the cap).
BALUSTER_AREA = 0.160 * 13 * 0.620
RAIL_AREA = 0.260 * 2 * CLEAR
CAP_AREA = 0.330 * 2.0
POST_AREA = 0.360 * 2 * 0.875
GUARD = BALUSTER_AREA + RAIL_AREA + CAP_AREA + POST_AREA
GUARD_SIDE = 2.0 * 0.9

# Edge work: the wall, under the rail (75 mm is too low for the machine) and round two posts. Common practice.
EDGE = 3.6 + 2.0 + 2 * 0.360
# A strip of the pad's 125 mm, which covers boards and gaps alike; the rest is field.
PERIMETER = EDGE * 0.125 / FLOOR * TOP
FIELD = TOP - PERIMETER

# Stairs: 600 mm in risers of at most 200 are 3, with 2 treads 1 m wide, 250 + 25 deep and 25 thick.
TREADS, NOSINGS, RISERS = 2 * 0.275, 2 * 0.025, 0.600
SLOPE = math.sqrt(0.6**2 + (2 * 0.25) ** 2)
# Two cut stringers 38 by 235: both sides less two triangles of 200 by 250, and the lower edge.
STRINGERS = 2 * (2 * (SLOPE * 0.235 - 2 * 0.200 * 0.250 / 2) + SLOPE * 0.038)
STAIR_SEEN = TREADS + NOSINGS + RISERS + STRINGERS

# Fascia 200 by 25: outer face and lower edge.
FASCIA = 3.6 * (0.200 + 0.025)
# Lattice: slats of 40 and openings of 40 cover half: four faces of a half, less the crossings a quarter twice, and the
# four edges of 6 in a pitch of 80.
LATTICE_FACTOR = 4 * 0.5 - 2 * 0.25 + 4 * 6 / 80
LATTICE = LATTICE_FACTOR * 2.0 * 0.5

# Labour: balustrades four times one side (construction-cyclopedia); trellis twice one side (is-1200-15); a base never
# under one foot (painting-cyclopedia-1908), which a fascia of 200 mm is. The rest counts as its material.
GUARD_LABOUR = 4 * GUARD_SIDE
LATTICE_LABOUR = 2 * 2.0 * 0.5
FASCIA_LABOUR = 3.6 * 0.3048

ALIKE = FIELD + PERIMETER + GAP_FACES + END_GRAIN + STAIR_SEEN + TREADS

CASE = Case(
    "area",
    {
        "zones": [
            {
                "id": "main",
                "length": "3.6 m",
                "width": "1.4 m",
                "boards": {
                    "size": "25x140 mm",
                    "gap": "5 mm",
                    "direction": "0 deg",
                    "joist_spacing": "400 mm",
                    "stock_length": "2 m",
                    "fasteners_per_crossing": 2,
                },
                "edges": {"wall_sides": [1], "tool_height": "150 mm"},
            }
        ],
        "guards": [
            {
                "id": "south",
                "length": "2 m",
                "height": "900 mm",
                "baluster": "40x40 mm",
                "clear_gap": "100 mm",
                "rails": 2,
                "rail": "40x90 mm",
                "rail_clearance": "75 mm",
                "cap": "25x140 mm",
                "post": "90x90 mm",
                "posts": 2,
            }
        ],
        "stairs": [
            {
                "id": "steps",
                "rise": "600 mm",
                "highest_riser": "200 mm",
                "width": "1 m",
                "going": "250 mm",
                "nosing": "25 mm",
                "tread_thickness": "25 mm",
                "riser_form": "closed",
                "undersides": True,
                "stringers": 2,
                "stringer": "38x235 mm",
                "stringer_form": "cut",
            }
        ],
        "extras": [
            {"id": "front", "part": "fascia", "length": "3.6 m", "size": "25x200 mm"},
            {
                "id": "screen",
                "part": "lattice",
                "length": "2 m",
                "height": "0.5 m",
                "slat_width": "40 mm",
                "opening": "40 mm",
                "thickness": "6 mm",
            },
        ],
        "pad_width": "125 mm",
    },
    {
        "area m2": FLOOR,
        "face_total m2": ALIKE + GUARD + FASCIA + LATTICE,
        "area_for_labour m2": ALIKE + GUARD_LABOUR + FASCIA_LABOUR + LATTICE_LABOUR,
        "obstacle_edge m": EDGE,
        "boards": 10,
        "board_length m": 10 * LENGTH,
        "gap_length m": GAP_LENGTH,
        "joists": 10,
        "joints": 10,
        "crossings": CROSSINGS,
        "fasteners": 2 * CROSSINGS,
        "faces.main-field.area m2": FIELD,
        "faces.main-field.area_for_labour m2": FIELD,
        "faces.main-field.length m": 10 * LENGTH,
        "faces.main-field.count": 10,
        "faces.main-perimeter.area m2": PERIMETER,
        "faces.main-perimeter.area_for_labour m2": PERIMETER,
        "faces.main-perimeter.length m": EDGE,
        "faces.main-gap-faces.area m2": GAP_FACES,
        "faces.main-gap-faces.area_for_labour m2": GAP_FACES,
        "faces.main-gap-faces.length m": GAP_LENGTH,
        "faces.main-end-grain.area m2": END_GRAIN,
        "faces.main-end-grain.area_for_labour m2": END_GRAIN,
        "faces.main-stair-steps.area m2": STAIR_SEEN,
        "faces.main-stair-steps.area_for_labour m2": STAIR_SEEN,
        "faces.main-stair-steps.length m": SLOPE,
        "faces.main-stair-steps.count": 3,
        "faces.main-stair-steps-underside.area m2": TREADS,
        "faces.main-stair-steps-underside.area_for_labour m2": TREADS,
        "faces.main-guard-south.area m2": GUARD,
        "faces.main-guard-south.area_for_labour m2": GUARD_LABOUR,
        "faces.main-guard-south.length m": 2.0,
        "faces.main-guard-south.count": BALUSTERS,
        "faces.main-fascia-front.area m2": FASCIA,
        "faces.main-fascia-front.area_for_labour m2": FASCIA_LABOUR,
        "faces.main-fascia-front.length m": 3.6,
        "faces.main-fascia-front.count": 1,
        "faces.main-lattice-screen.area m2": LATTICE,
        "faces.main-lattice-screen.area_for_labour m2": LATTICE_LABOUR,
        "faces.main-lattice-screen.length m": 2.0,
        "faces.main-lattice-screen.count": 1,
        "parts.field.area m2": FIELD,
        "parts.field.area_for_labour m2": FIELD,
        "parts.perimeter.area m2": PERIMETER,
        "parts.perimeter.area_for_labour m2": PERIMETER,
        "parts.gap-faces.area m2": GAP_FACES,
        "parts.gap-faces.area_for_labour m2": GAP_FACES,
        "parts.end-grain.area m2": END_GRAIN,
        "parts.end-grain.area_for_labour m2": END_GRAIN,
        "parts.stair.area m2": STAIR_SEEN + TREADS,
        "parts.stair.area_for_labour m2": STAIR_SEEN + TREADS,
        "parts.guard.area m2": GUARD,
        "parts.guard.area_for_labour m2": GUARD_LABOUR,
        "parts.fascia.area m2": FASCIA,
        "parts.fascia.area_for_labour m2": FASCIA_LABOUR,
        "parts.lattice.area m2": LATTICE,
        "parts.lattice.area_for_labour m2": LATTICE_LABOUR,
        "zones.main.area m2": FLOOR,
        "zones.main.outline_length m": 2 * (LENGTH + WIDTH),
        "zones.main.face_area m2": TOP,
        "zones.main.gap_face_area m2": GAP_FACES,
        "zones.main.end_grain_area m2": END_GRAIN,
        "zones.main.gap_length m": GAP_LENGTH,
        "zones.main.boards": 10,
        "zones.main.pieces": 10,
        "zones.main.board_length m": 10 * LENGTH,
        "zones.main.longest_board m": LENGTH,
        "zones.main.last_board_width mm": 95.0,
        "zones.main.joists": 10,
        "zones.main.joints": 10,
        "zones.main.crossings": CROSSINGS,
        "zones.main.fasteners": 2 * CROSSINGS,
        "zones.main.obstacle_edge m": EDGE,
        "stairs.steps.risers": 3,
        "stairs.steps.riser_height mm": 200.0,
        "stairs.steps.treads": 2,
        "stairs.steps.tread_area m2": TREADS,
        "stairs.steps.nosing_area m2": NOSINGS,
        "stairs.steps.riser_area m2": RISERS,
        "stairs.steps.underside_area m2": TREADS,
        "stairs.steps.stringer_area m2": STRINGERS,
        "stairs.steps.area m2": STAIR_SEEN + TREADS,
        "stairs.steps.slope_length m": SLOPE,
        "guards.south.posts": 2,
        "guards.south.balusters": BALUSTERS,
        "guards.south.baluster_gap mm": BALUSTER_GAP,
        "guards.south.post_area m2": POST_AREA,
        "guards.south.baluster_area m2": BALUSTER_AREA,
        "guards.south.rail_area m2": RAIL_AREA,
        "guards.south.cap_area m2": CAP_AREA,
        "guards.south.area m2": GUARD,
        "guards.south.one_side_area m2": GUARD_SIDE,
        "guards.south.area_ratio %": 100 * GUARD / GUARD_SIDE,
        "extras.front.area m2": FASCIA,
        "extras.screen.area m2": LATTICE,
        "extras.screen.factor %": 100 * LATTICE_FACTOR,
    },
)
