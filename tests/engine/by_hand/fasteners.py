"""Four hundred nails of which a sample was looked at, worked by hand."""

import numpy as np
from tests.engine.by_hand.case import Z90, Case, draws, scores

HEADS = 400
# 6 of 60 stood proud. Wilson 1927, JASA 22(158), the score interval that holds the share eight times in ten.
MIDDLE = (6 + Z90**2 / 2) / (60 + Z90**2)
HALF = Z90 * np.sqrt(6 * (60 - 6) / 60 + Z90**2 / 4) / (60 + Z90**2)
PROUD = MIDDLE + scores(1) / Z90 * HALF
# As told: 5 % are replaced for rust, and of those that stand proud 20 % do not go deeper.
RUSTY, STUCK = 0.05, 0.2


def treated(share: float) -> int:
    """Count heads to replace for rust, and of the others the proud ones, to the nearest head."""
    return round(HEADS * (RUSTY + (1 - RUSTY) * share))


# Of the heads that were set 2, 5 or 15 % come loose again and are replaced too: judgement.
REPLACED = HEADS * (RUSTY + (1 - RUSTY) * PROUD * (STUCK + (1 - STUCK) * draws(2, 0.02, 0.05, 0.15)))
SET = HEADS * (1 - RUSTY) * PROUD * (1 - STUCK)
# Heads in an hour: 400, 700, 1200 looked at and 20, 40, 70 replaced (judgement), 120, 240, 360 nails set (common
# practice, recalled).
LOOKING = HEADS / draws(3, 400, 700, 1200)
SETTING = SET / draws(4, 120, 240, 360)
REPLACING = REPLACED / draws(5, 20, 40, 70)
TIME = LOOKING + SETTING + REPLACING

CASE = Case(
    "fasteners",
    {
        "zones": [{"id": "main", "fasteners": HEADS}],
        "species": "southern-yellow-pine",
        "fastener": "nail",
        "removal": "0.2-0.6 mm",
        "fastener_cover": "4 mm",
        "sample": {"inspected": 60, "proud": 6},
        "share_stuck": "20 %",
        "share_staining": "5 %",
        "machine": "floor-drum",
    },
    {
        "inspected": HEADS,
        "share_proud %": (100 * (MIDDLE - HALF), 100 * MIDDLE, 100 * (MIDDLE + HALF)),
        "treated": treated(MIDDLE),
        "least_treated": treated(MIDDLE - HALF),
        "most_treated": treated(MIDDLE + HALF),
        "replaced": round(np.median(REPLACED)),
        # Removal at its high end and a millimetre (judgement) is 1.6 mm; a drum asks for 1/8 in, by
        # nails-floor-sander-guide.
        "set_depth mm": 25.4 / 8,
        "cover_left mm": (4 - 0.6, 4 - (0.2 * 0.6) ** 0.5, 4 - 0.2),
        "inspection_time h": (HEADS / 1200, HEADS / 700, HEADS / 400),
        "setting_time h": SETTING,
        "replacing_time h": REPLACING,
        "time h": TIME,
        "zones.main.inspected": HEADS,
        "zones.main.treated": treated(MIDDLE),
        "zones.main.most_treated": treated(MIDDLE + HALF),
        "zones.main.time h": TIME,
    },
)
