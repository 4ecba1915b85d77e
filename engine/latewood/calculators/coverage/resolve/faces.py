"""Which faces may be coated, of which wood and surface each is, and how much more or less a sanded one takes up."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from latewood.calculators.coverage.fields import Face
from latewood.calculators.coverage.findings import find_left, find_uptake
from latewood.calculators.coverage.inputs import Inputs
from latewood.calculators.coverage.resolve.rates import NO_SHEET, by_family, pairing_of
from latewood.calculators.coverage.resolved import ResolvedFace
from latewood.declare import RecordLookup
from latewood.messages import Word, clause
from latewood.provenance import Ledger, SIValue
from latewood.records.coating import SURFACES
from latewood.rules.faces import WHOLE, out_of_reach
from latewood.rules.old_and_new_finish import Pair, note_pair, pair
from latewood.rules.wording import place

#: The absorbency taken where no species is given: the middle one, so that neither neighbour is far.
MIDDLE: Final = "medium"
#: Woods of the lowest and of the highest absorbency, with which the amount is computed again.
ENDS: Final = ("unidentified-dense-hardwood", "unidentified-light-hardwood")


def faces_of(x: Inputs, ledger: Ledger, known: RecordLookup) -> tuple[ResolvedFace, ...]:
    """Return the faces with defaults put in; what the defaults do to the answer goes into the ledger."""
    settled, left, bare_surface, family = [], [], False, by_family(x.product or NO_SHEET)
    for index, face in _faces_to_coat(x, ledger):
        species = face.species or x.species
        surface = face.surface or x.surface or "sanded"
        if face.surface is None and surface == "sanded" and out_of_reach(face.part, face.side):
            surface = "weathered"
            ledger.use(f"input/faces/{index}/surface", surface, "default", note=clause("sanding-out-of-reach"))
            left.append(face)
        elif face.surface is None and x.surface is None:
            bare_surface = True
        uptake = face.uptake
        if uptake is None:
            uptake = x.uptake if x.uptake is not None and surface == "sanded" else 1.0
        one = ResolvedFace(
            zone=face.zone,
            part=face.part,
            area=face.area,
            absorbency=MIDDLE if species is None else species.absorbency,
            surface=surface,
            species=species,
            pairing=pairing_of(x.coating, species, surface, known) if family else None,
            side=face.side,
            uptake=uptake,
            item=face.item,
        )
        settled.append(one)
    for one in settled:
        if one.changed:
            low, _, high = one.key[-1]
            given = f"{low * 100:.3g} %" if low == high else f"{low * 100:.3g}-{high * 100:.3g} %"
            note = clause("uptake-note")
            ledger.use(f"input/uptake/{one.label}", given, "input", note=note, si=SIValue.of(one.uptake, "1"))
    find_uptake(x, settled, ledger)
    if family and not x.coating.bare:
        _default_woods(x, settled, bare_surface, ledger, known)
        find_left(left, ledger)
    return tuple(settled)


def _faces_to_coat(x: Inputs, ledger: Ledger) -> list[tuple[int, Face]]:
    """Return the faces that may be coated, with their places; find which may not, and where it is not known."""
    faces = x.faces if x.area is None else (Face(zone=WHOLE, part="field", area=x.area),)
    kept: list[tuple[int, Face]] = []
    groups: dict[tuple[str, str], tuple[Pair, list[tuple[int, Face]]]] = {}
    for index, face in enumerate(faces):
        old = face.old_coating or x.old_coating
        found = None if old is None else pair(x.coating, old)
        if found is None or not found.refused:
            kept.append((index, face))
        if old is not None and found is not None and found.fit != "holds":
            groups.setdefault((found.fit, "none" if old == "none" else old.id), (found, []))[1].append((index, face))
    for found, members in groups.values():
        index, first = members[0]
        at = "/old_coating" if first.old_coating is None else f"/faces/{index}/old_coating"
        names = ["-".join(word for word in (f.zone, f.part, f.item, f.side) if word) for _, f in members]
        of = () if x.area is not None else place(", ".join(names))
        note_pair(found, ledger, pointer=at, place=of, faces=names)
    return kept


def _default_woods(
    x: Inputs, settled: Sequence[ResolvedFace], bare_surface: bool, ledger: Ledger, known: RecordLookup
) -> None:
    """Write down the species and the surface that were assumed, and what the likely ends of both would change."""
    if any(face.species is None for face in settled):
        given = clause("wood-of-class", absorbency=Word("absorbency", MIDDLE))
        others = tuple(known.record("species", id) for id in ENDS)
        ledger.default("species", given, others=others, why=clause("middle-class"))
    if bare_surface:
        others = tuple(surface for surface in SURFACES if surface != "sanded")
        ledger.default("surface", "sanded", others=others, why=clause("weathered-is-sanded"))
