"""Washing and sanding beside glass and a lane, worked by hand."""

import numpy as np
from tests.engine.by_hand.case import Case, draws

# Reach, height covered, share for laps, wind and distance of openings: judgement of the records, no source.
# Washing 2 m, 1.5 m, 10 %, 7 m/s, 3 m; sanding 1.5 m, 300 mm, 10 %, 8 m/s, 2 m.
# Ground: the lane is others' property 1.2 m away, so its 4 m get 1.2 m; 3 m and 2 m get the reach, and the one outer
# corner between them a square. The floor of 8 m2 lies over paving, which is sheeted.
WASHING_SHEET = (4 * 1.2 + 3 * 2 + 2 * 2 + 2 * 2 + 8) * 1.1
SANDING_SHEET = (4 * 1.2 + 3 * 1.5 + 2 * 1.5 + 1.5 * 1.5 + 8) * 1.1
# Film up the 3 m of glass.
WASHING_FILM, SANDING_FILM = 3 * 1.5 * 1.1, 3 * 0.3 * 1.1
# Tape along the glass and round two posts of 400 mm; laid anew for each kind of work.
TAPE = 3 + 2 * 0.4
# Paces: 15, 25, 40 m/h of tape (common practice, recalled); 40, 80, 150 m2/h of sheet (judgement).
PER_METRE, PER_SQUARE = 1 / draws(1, 15, 25, 40), 1 / draws(2, 40, 80, 150)
WASHING_TIME = TAPE * PER_METRE + WASHING_SHEET * PER_SQUARE
SANDING_TIME = TAPE * PER_METRE + SANDING_SHEET * PER_SQUARE

# Sheet and film of the more demanding of the two are thrown away: polyethylene of 50, 100 and 150 um at 920 kg/m3 is
# 46, 92 and 138 g/m2. Folded in a bag it lies at 40, 60 and 100 kg/m3: judgement.
FILM = WASHING_SHEET + WASHING_FILM
VOLUME = 1000 * FILM * draws(3, 0.046, 0.092, 0.138) / draws(4, 40, 60, 100)

CASE = Case(
    "masking",
    {
        "works": ["washing", "sanding"],
        "borders": [
            {"id": "door", "adjoins": "glass", "length": "3 m", "house_openings": 2, "openings_distance": "2.5 m"},
            {"id": "lane", "adjoins": "open", "length": "4 m", "boundary": "1.2 m"},
            {"id": "south", "adjoins": "open", "length": "3 m"},
            {"id": "west", "adjoins": "open", "length": "2 m"},
        ],
        "corners": 1,
        "area": "8 m2",
        "below": "paving",
        "posts": 2,
        "post_girth": "400 mm",
        "plants": [{"id": "roses", "area": "5 m2", "distance": "1 m"}],
        "old_coating": "none",
        "roll_length": "5 m",
    },
    {
        "works.washing.reach m": 2.0,
        "works.washing.sheet_area m2": WASHING_SHEET,
        "works.washing.cover_area m2": WASHING_FILM,
        "works.washing.tape_length m": TAPE,
        # Plants 1 m away are within the reach of splashes; dust of sound wood does not harm them.
        "works.washing.plant_area m2": 5.0,
        # Along the lane, which is nearer than the reach.
        "works.washing.screen_length m": 4.0,
        # The openings are 2.5 m away: within 3 m, and beyond 2 m.
        "works.washing.openings_shut": 2,
        "works.washing.wind_limit m/s": 7.0,
        "works.washing.time h": WASHING_TIME,
        "works.sanding.reach m": 1.5,
        "works.sanding.sheet_area m2": SANDING_SHEET,
        "works.sanding.cover_area m2": SANDING_FILM,
        "works.sanding.tape_length m": TAPE,
        "works.sanding.plant_area m2": 0.0,
        "works.sanding.screen_length m": 4.0,
        "works.sanding.openings_shut": 0,
        "works.sanding.wind_limit m/s": 8.0,
        "works.sanding.time h": SANDING_TIME,
        "sheet_area m2": WASHING_SHEET,
        "cover_area m2": WASHING_FILM,
        "tape_length m": 2 * TAPE,
        # 7.6 m from rolls of 5.
        "rolls": 2,
        "time h": WASHING_TIME + SANDING_TIME,
        "waste.masking-film.waste_mass kg": (0.046 * FILM, 0.092 * FILM, 0.138 * FILM),
        "waste.masking-film.waste_volume L": VOLUME,
        # Bags of 60 L, common practice: nine times in ten two hold it.
        "waste.masking-film.container_count": int(np.ceil(np.quantile(VOLUME, 0.9) / 60)),
    },
)
