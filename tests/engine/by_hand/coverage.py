"""Two coats of a thinned varnish by its data sheet, worked by hand."""

import math

import numpy as np
import pytest
from tests.engine.by_hand.case import Z90, Case, between, draws

# Data sheet: 40 % solids by volume, a dry film of 40 to 62.5 um a coat, 10 % thinner on a volume of product.
NORTH, SOUTH = 12.0, 8.0
DRY = between(40.0, 62.5)
SOLIDS = 0.40 / 1.1
# A litre whose solids fill S leaves a film of S mm on a square metre: 363.6 um, so it goes 363.6/50 = 7.27 m2 far.
RATE = tuple(1000 * SOLIDS / film for film in reversed(DRY))
# Laid on 20 m2 by two coats, thinned: 2 x 20 x 50 / 363.6 = 5.5 L. All that is not known is the film.
LAID_ON = tuple(2 * (NORTH + SOUTH) * film / (1000 * SOLIDS) for film in DRY)
# A tenth of what is drawn is lost: 5.5 / 0.9 = 6.11 L ready to use, of which the thinner is a part of 11.
READY = tuple(volume / 0.9 for volume in LAID_ON)
DRAWN = tuple(volume / 1.1 for volume in READY)


def share(volumes: tuple[float, ...], part: float) -> tuple[float, ...]:
    """Take a share of each."""
    return tuple(part * volume for volume in volumes)


# Nine times in ten 6.94 L are enough, and half a litre is there: 6.44 L. A can of 2.5 L holds 2.4, one of 1 L a litre,
# and 50 mL stay in each: 2 x 2.35 + 2 x 0.95 = 6.6 L for 144. Others that suffice: 3 x 2.35 for 150, 2.35 + 5 x 0.95
# for 160, 7 x 0.95 for 154.
BOUGHT = 2 * 2.35 + 2 * 0.95
THERE = BOUGHT + 0.5
LEFT_OVER = tuple(THERE - volume for volume in reversed(DRAWN))
# The volume is lognormal: its logarithm lies ln(62.5/50) / 1.2816 off for each normal score. Normal distribution.
SCORE = math.log(THERE / DRAWN[1]) / math.log(62.5 / 50) * Z90
SHORT = 100 * math.erfc(SCORE / math.sqrt(2)) / 2
# Finish left weighs 0.87, 1.0 or 1.25 kg a litre: judgement.
LEFT_MASS = np.maximum(THERE - draws(1, *DRAWN), 0) * draws(2, 0.87, 1.0, 1.25)

# 40 CFR 59.406(a)(1): by the volume without exempt compounds, of which 100 g/L at 800 kg/m3 fill an eighth.
REGULATORY = 300 / (1 - 100 / 800)

CASE = Case(
    "coverage",
    {
        "faces": [
            {"zone": "north", "part": "field", "area": "12 m2", "surface": "sanded"},
            {"zone": "south", "part": "perimeter", "area": "8 m2", "surface": "sanded"},
        ],
        "species": "western-redcedar",
        "coating": "film-clear",
        "loss": "10 %",
        "loss_convention": "of-applied",
        "product": {
            "volume_solids": "40 %",
            "dry_film_thickness": "40-62.5 um",
            "thinning": "10 %",
            "coats": 2,
            "carrier": "solvent",
            "voc_content": "300 g/L",
            "exempt_content": "100 g/L",
            "exempt_density": "800 kg/m3",
        },
        "confidence": "90 %",
        "containers": [
            {"size": "2.5 L", "fill": "2.4 L", "price": "50.00 USD"},
            {"size": "1 L", "price": "22.00 USD"},
        ],
        "residue": "50 mL",
        "on_hand": "0.5 L",
        "jurisdiction": "US-DE",
        "as_of": "2026-05-04",
    },
    {
        "volume L": DRAWN,
        "applied L": LAID_ON,
        # A film is not wiped.
        "wiped_off L": (0.0, 0.0, 0.0),
        "retained L": LAID_ON,
        "spreading_rate m2/L": RATE,
        "wet_film_thickness um": tuple(film / SOLIDS for film in DRY),
        "dry_film_thickness um": DRY,
        "coats.1.volume L": share(DRAWN, 0.5),
        "coats.1.spreading_rate m2/L": RATE,
        "coats.2.volume L": share(DRAWN, 0.5),
        "coats.2.spreading_rate m2/L": RATE,
        "zones.north.area m2": NORTH,
        "zones.north.volume L": share(DRAWN, 0.6),
        "zones.south.area m2": SOUTH,
        "zones.south.volume L": share(DRAWN, 0.4),
        "parts.field.area m2": NORTH,
        "parts.field.volume L": share(DRAWN, 0.6),
        "parts.perimeter.area m2": SOUTH,
        "parts.perimeter.volume L": share(DRAWN, 0.4),
        "containers.0.size L": 2.5,
        "containers.0.fill L": 2.4,
        "containers.0.count": 2,
        "containers.0.price": {"amount": "50.00", "currency": "USD"},
        "containers.0.cost": {"amount": "100.00", "currency": "USD"},
        "containers.1.size L": 1.0,
        "containers.1.count": 2,
        "containers.1.price": {"amount": "22.00", "currency": "USD"},
        "containers.1.cost": {"amount": "44.00", "currency": "USD"},
        "purchase.text": "2 × 2.5 L + 2 × 1 L",
        "purchase.confidence %": 90.0,
        "purchase.volume L": BOUGHT,
        "purchase.left_over L": LEFT_OVER,
        # What equals the purchase up to rounding is met, a few parts in a hundred million.
        "purchase.shortage_risk %": pytest.approx(SHORT, rel=1e-7),
        "purchase.cost": {"amount": "144.00", "currency": "USD"},
        "voc.content g/L": 300.0,
        "voc.regulatory_content g/L": REGULATORY,
        "voc.mass kg": share(READY, 0.300),
        # Delaware from 2017 on and the United States: both recalled.
        "voc.limits.us-de-1141.limit g/L": 275.0,
        "voc.limits.us-de-1141.content g/L": REGULATORY,
        "voc.limits.us-40-cfr-59-d.limit g/L": 450.0,
        "voc.limits.us-40-cfr-59-d.content g/L": REGULATORY,
        "waste.leftover-finish.waste_mass kg": LEFT_MASS,
        "waste.leftover-finish.waste_volume L": LEFT_OVER,
    },
    {"waste.*.container_count": "finish stays in its own cans"},
)
