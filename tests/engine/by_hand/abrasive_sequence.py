"""A cedar floor of 8 m2 sanded with P60 and P100, and its gaps, worked by hand."""

import math

import numpy as np
from tests.engine.by_hand.case import Case, between, draws

AREA, DENSITY = 8.0, 365.0
# FEPA 43-1 and ISO 6344: mean grain sizes in um.
P60, P100, P80 = 269.0, 162.0, 201.0
# 150 um to sound wood, as measured. P60 leaves scratches of a quarter of its grain (judgement), which P100 takes off.
LAYER, SCRATCHES = 150.0, 0.25 * P60
REMOVAL = LAYER + SCRATCHES
# P60 takes off 100, 200 or 350 um a pass of softwood of 500 kg/m3 (judgement), more of lighter wood.
A_PASS = tuple(taken * 500 / DENSITY for taken in (100, 200, 350))
# A finer grade less, by the power 0.66 of its grain (belt-sanding-study).
A_PASS_FINE = tuple(taken * (P100 / P60) ** 0.66 for taken in A_PASS)

# Paces, 5, 10, 15 m2/h at first and 8, 14, 20 later (common practice), and lives of discs are those on grey wood: 100
# to 200 um, commonly quoted, at 500 kg/m3.
EFFORT = LAYER / (between(100, 200)[1] * 500 / DENSITY)
FIRST = tuple(AREA * EFFORT / pace for pace in (15, 10, 5))
LATER = tuple(AREA / pace for pace in (20, 14, 8))
TIME = AREA * EFFORT / draws(1, 5, 10, 15) + AREA / draws(2, 8, 14, 20)
DUST = REMOVAL / 1e6 * DENSITY * AREA

# A disc of 150 mm does 0.7, 2 or 3 m2 of grey softwood (brazil-federal-costs and practice), 1.5 to 2 times as much with
# the second grade (common practice).
LIFE = draws(3, 0.7, 2, 3)
WORN = {"p60": AREA * EFFORT / LIFE, "p100": AREA / (LIFE * draws(4, *between(1.5, 2)))}


def discs(share: float) -> dict[str, int]:
    """Return whole discs that suffice so often together, shared as the grades would need them by themselves."""
    whole = math.ceil(np.quantile(sum(WORN.values()), share))
    own = {grade: float(np.quantile(worn, share)) for grade, worn in WORN.items()}
    exact = {grade: whole * worn / sum(own.values()) for grade, worn in own.items()}
    counts = {grade: math.floor(number) for grade, number in exact.items()}
    short = max(exact, key=lambda grade: exact[grade] - counts[grade])
    return {**counts, short: counts[short] + whole - sum(counts.values())}


TYPICAL, TO_HAVE = discs(0.5), discs(0.9)

# 200 to 400 ft2 a US gallon on sanded wood (Wood Handbook, ch. 16), measured after P80. Valleys of triangular section
# hold half of their depth: those of P100 are a quarter of 39 um shallower.
LITRE = 0.09290304 / 3.785411784
LESS = tuple(0.25 * (P80 - P100) / 1e6 * rate * LITRE * 1000 / 2 for rate in between(200, 400))
# Stain on rough wood takes twice the volume and lasts two to three times as long (Wood Handbook, ch. 16).
LIFE_OF_FINISH = 100 * (1 - draws(5, *between(1, 2)) * draws(6, *LESS))

# Gaps of 100 m, a fifth of them packed: loose dirt 30, 60, 120 m2/h of floor, packed gaps 25, 60, 120 m/h; both edges
# eased at 20, 35, 60 m/h, full depth by hand 5, 10, 18 m/h. Common practice, recalled.
CLEANING = AREA / draws(7, 30, 60, 120) + 20 / draws(8, 25, 60, 120)

# A random orbit shakes with 7 to 10 m/s2 (university-vibration-list), over a day of 8 h as the root of its share of it:
# Directive 2002/44/EC, annex.
SHARE = math.sqrt((FIRST[1] + LATER[1]) / 8)

CASE = Case(
    "abrasive-sequence",
    {
        "faces": [
            {"zone": "main", "part": "field", "area": "8 m2"},
            {"zone": "main", "part": "gap-faces", "area": "5 m2", "length": "100 m"},
        ],
        "species": "western-redcedar",
        "coating": "semi-transparent-oil-stain",
        "treatment": "none",
        "treatment_evidence": "end-tag",
        "old_coating": "none",
        "year_built": 2015,
        "jurisdiction": "US-NY",
        "layer": "150 um",
        "first_grade": "p60",
        "last_grade": "p100",
        "stock": [{"grade": "p60", "at_hand": 2, "per_box": 5}, {"grade": "p100"}],
        "gap_treatment": "ease-edges",
        "gap_scope": "full-depth",
        "packed_gaps": "20 %",
        "practice": "open-grain",
    },
    {
        "rows.main-field.worst_ratio %": 100 * P60 / P100,
        "rows.main-field.layer um": LAYER,
        "rows.main-field.removal um": REMOVAL,
        "rows.main-field.uptake %": tuple(100 * (1 - less) for less in reversed(LESS)),
        "rows.main-field.relative_life %": LIFE_OF_FINISH,
        "rows.main-field.steps.p60.depth um": LAYER,
        "rows.main-field.steps.p60.per_pass um": A_PASS,
        # 150 of 274 um, or of 137 nine times in ten.
        "rows.main-field.steps.p60.passes": 1,
        "rows.main-field.steps.p60.most_passes": 2,
        "rows.main-field.steps.p60.time h": FIRST,
        "rows.main-field.steps.p100.depth um": SCRATCHES,
        "rows.main-field.steps.p100.per_pass um": A_PASS_FINE,
        # 67 of 196 um, or of 98.
        "rows.main-field.steps.p100.passes": 1,
        "rows.main-field.steps.p100.most_passes": 1,
        "rows.main-field.steps.p100.time h": LATER,
        "rows.main-field.time h": TIME,
        "rows.main-field.dust_mass g": 1000 * DUST,
        "grades.p60.grain_size um": P60,
        "grades.p100.grain_size um": P100,
        "abrasives.p60-random-orbit-150.typical_count": TYPICAL["p60"],
        "abrasives.p60-random-orbit-150.count": TO_HAVE["p60"],
        "abrasives.p60-random-orbit-150.at_hand": 2,
        "abrasives.p60-random-orbit-150.to_buy": 5 * math.ceil((TO_HAVE["p60"] - 2) / 5),
        "abrasives.p60-random-orbit-150.boxes": math.ceil((TO_HAVE["p60"] - 2) / 5),
        "abrasives.p100-random-orbit-150.typical_count": TYPICAL["p100"],
        "abrasives.p100-random-orbit-150.count": TO_HAVE["p100"],
        "abrasives.p100-random-orbit-150.at_hand": 0,
        "abrasives.p100-random-orbit-150.to_buy": TO_HAVE["p100"],
        "gaps.ease-edges.length m": 100.0,
        "gaps.ease-edges.passes": 2,
        "gaps.ease-edges.cleaning_time h": CLEANING,
        "gaps.ease-edges.time h": (200 / 60, 200 / 35, 200 / 20),
        "gaps.ease-edges.full_depth_time h": (100 / 18, 100 / 10, 100 / 5),
        "floors.main.removal mm": REMOVAL / 1000,
        "floors.main.sanding_time h": TIME,
        # Vacuumed after each grade, 50, 90, 150 m2/h: common practice.
        "floors.main.vacuum_time h": (2 * AREA / 150, 2 * AREA / 90, 2 * AREA / 50),
        "floors.main.dust_mass kg": DUST,
        "floors.main.typical_count": sum(TYPICAL.values()),
        "floors.main.disc_count": sum(TO_HAVE.values()),
        "removal um": REMOVAL,
        "time h": TIME,
        "vacuum_time h": (2 * AREA / 150, 2 * AREA / 90, 2 * AREA / 50),
        "dust_mass kg": DUST,
        "waste.sanding-dust.waste_mass kg": DUST,
        # Dust lies at 150, 200 or 250 kg/m3: judgement. In bags of 25 L.
        "waste.sanding-dust.waste_volume L": (DUST / 0.250, DUST / 0.200, DUST / 0.150),
        "waste.sanding-dust.container_count": math.ceil(DUST / 0.150 / 25),
        "vibration_exposure m/s2": tuple(shaken * SHARE for shaken in between(7, 10)),
    },
)
