"""A floor with four new boards, worked by hand."""

from tests.engine.by_hand.case import Case

CASE = Case(
    "condition",
    {
        "components": [
            {
                "id": "floor",
                "part": "boards",
                "species": "ipe",
                "old_coating": "none",
                "signs": ["grey"],
                "structure": "sound",
                "thickness": "25 mm",
                "furrow_depth": "0.5 mm",
                "fastener_cover": "3 mm",
                "removal": "0.2-0.6 mm",
                "new_boards": 4,
            }
        ],
        "condition_rule": "usual",
    },
    {
        # What is taken off the face is taken off the cover: 3 mm less 0.6, less the middle, less 0.2. The middle of a
        # range is its geometric mean, sqrt(0.2 x 0.6).
        "components.floor.cover_left mm": (3 - 0.6, 3 - (0.2 * 0.6) ** 0.5, 3 - 0.2),
        # A furrow is wood that is gone already.
        "components.floor.thickness_left mm": (25 - 0.5 - 0.6, 25 - 0.5 - (0.2 * 0.6) ** 0.5, 25 - 0.5 - 0.2),
        # Judgement, no source: bare boards grey within 12 to 52 weeks.
        "components.floor.blending_time week": (12.0, (12 * 52) ** 0.5, 52.0),
    },
)
