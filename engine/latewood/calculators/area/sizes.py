"""What is said of a nominal size: PS 20 names softwood, and with a hardwood it is an assumption."""

from __future__ import annotations

from typing import Final

from latewood.provenance import Ledger
from latewood.quantities import lumber
from latewood.quantities.lumber import Nominal
from latewood.records import Species

INCH: Final = 0.0254


def say_nominal(size: Nominal, at: str, species: Species | None, ledger: Ledger) -> None:
    """Write into the basis what a nominal size was read as; PS 20 names softwood only."""
    name = size.text.replace(" ", "").replace("X", "x").replace("\u00d7", "x")
    if name not in lumber.SIZES and not name.replace("-", "").replace("/", "").replace("x", "").isdigit():
        return
    read_as = f"{size.thickness * 1000:.4g} x {size.width * 1000:.4g} mm"
    ledger.use(f"input{at}", size.text, "published", note=f"PS 20, minimum dressed size, dry: {read_as}")
    if species is not None and species.group == "hardwood":
        inches = f"{size.thickness / INCH:g} x {size.width / INCH:g} in"
        message = (
            f"{size.text} is a size of the softwood standard (PS 20), and {species.title} is a hardwood. {inches} was "
            "assumed; hardwood sold under that name may be thicker or narrower. Measure a board."
        )
        ledger.find("nominal-hardwood", "warning", message, pointer=at, assumed=read_as, species=species.id)


def say_sizes(shape: object, at: str, names: tuple[str, ...], species: Species | None, ledger: Ledger) -> None:
    """Say of each size of a component that was given what it was read as."""
    for name in names:
        size = getattr(shape, name)
        if size is not None:
            say_nominal(size, f"{at}/{name}", species, ledger)
