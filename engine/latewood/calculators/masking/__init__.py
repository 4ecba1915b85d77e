"""What must be covered, taped and kept off round a deck? Lengths, areas, hours, wind."""

from __future__ import annotations

from latewood.calculators.masking.inputs import Inputs
from latewood.calculators.masking.result import Result
from latewood.calculators.masking.validation import check
from latewood.calculators.masking.works import works
from latewood.declare import Cost, RecordLookup, calculator
from latewood.formulas import pace, sheeting
from latewood.formulas import waste as waste_formulas
from latewood.provenance import Ledger


@calculator(
    "masking",
    "Masking and sheeting",
    since="0.3",
    example={
        "works": ["sanding", "brushing"],
        "borders": [
            {"id": "house", "adjoins": "painted-wall", "length": "16 ft", "house_openings": 2},
            {"id": "east", "adjoins": "open", "length": "12 ft", "boundary": "2 m"},
            {"id": "south", "adjoins": "open", "length": "16 ft"},
            {"id": "west", "adjoins": "open", "length": "12 ft"},
        ],
        "corners": 2,
        "area": "192 ft2",
        "posts": 8,
        "plants": [{"id": "roses", "area": "7 m2", "distance": "1 m"}],
        "old_coating": "none",
        "wall_coating": "paint",
        "year_built": 1990,
        "jurisdiction": "US-GA",
    },
    formulas=(
        sheeting.border_area,
        sheeting.sheet_area,
        sheeting.cover_area,
        pace.time_by_length,
        pace.time_by_area,
        waste_formulas.mass_of_area,
        waste_formulas.volume_of_mass,
    ),
    costs=(Cost(0.01, 1024), Cost(0.1, 8192)),
    outputs={"masking": "sheet_area"},
)
def masking(x: Inputs, ledger: Ledger, known: RecordLookup) -> Result:
    """Measure what is covered and taped for each kind of work, and say what must not be done here, or not in this wind.

    Dust, splashes and drift reach differently far. Where lead is not ruled out the ground is covered as the rule of the
    United States has it. Spraying over water or beside others' property is not planned, and nothing is put up for it.
    """
    check(x)
    return works(x, known, ledger)


__all__ = ["Inputs", "Result", "masking"]
