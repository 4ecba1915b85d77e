"""Which preservative a piece of wood may hold: by its species, its use, year and place, and by what proves it.

Chromated copper arsenate is a copper treatment, so a stated copper rules arsenic out no more than silence does.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from latewood.messages import Clause, Word, clause
from latewood.provenance import Ledger
from latewood.records import Species
from latewood.records.base import Treatment
from latewood.records.region import Use
from latewood.rules.hazard_fields import Frame, Proof
from latewood.rules.hazards import Suspicion, Years
from latewood.rules.wording import Place

#: What proves a stated preservative; an owner's word does not. CPSC and EPA on identifying treated wood: an end tag.
PROVES: Final[frozenset[Proof]] = frozenset({"end-tag", "test"})
#: Parts that carry, or that the rules for decks and handrails do not name. What is not listed here is walked on,
#: leant on or sat on.
_AS_FRAME: Final = frozenset(
    {"frame", "ledger", "joists", "beams", "posts", "post", "stringers", "fascia", "skirting", "lattice"}
)
#: Preservatives on which no work is planned at all, with the texts that say what they do, and stop the work.
NO_WORK: Final[dict[Treatment, tuple[str, str]]] = {
    "creosote": ("creosote-harms", "creosote-stop"),
    "pentachlorophenol": ("pentachlorophenol-harms", "pentachlorophenol-stop"),
}
#: Parts that are leant on or walked on, and hold posts or stringers of their own, which carry.
_WITH_CARRIERS: Final = frozenset({"guard", "stair"})


@dataclass(frozen=True)
class Wood:
    """What is said of one kind of wood in a deck, and what it is used for."""

    species: Species | None = None
    treatment: Treatment | None = None
    evidence: Proof | None = None
    #: What it is used for; of a part that carries as well as it is leant on, both, and the worse of them counts.
    uses: tuple[Use, ...] = ("boards",)
    material: str = "wood"

    @property
    def proven(self) -> bool:
        """Whether an end tag or a test stands behind the stated preservative."""
        return self.treatment not in (None, "unknown") and self.evidence in PROVES

    @property
    def counted(self) -> Treatment:
        """The preservative it counts as. Silence counts as unknown, but for wood that is seldom treated."""
        if self.material != "wood":
            return "none"
        if self.treatment is not None:
            return self.treatment
        return "none" if self._seldom else "unknown"

    @property
    def _seldom(self) -> bool:
        return self.species is not None and self.species.seldom_treated

    @property
    def _said_enough(self) -> bool:
        """Whether what is said rules arsenic out without a year: a proof, or silence of wood that is seldom treated.

        Copper stated of such wood says that it was treated after all.
        """
        return self.proven or self.material != "wood" or (self.counted == "none" and self._seldom)

    def arsenical(self, years: Years) -> Suspicion:
        """Say whether it may hold arsenic."""
        if self.counted == "arsenical":
            return "yes"
        if self.counted in NO_WORK or self._said_enough:
            return "no"
        return years.arsenical(self.uses)

    def no_work(self) -> Clause | None:
        """Return why no work at all may be planned on it; None where it may."""
        return clause(NO_WORK[self.counted][0]) if self.counted in NO_WORK else None


def wood_of(x: Any, uses: tuple[Use, ...] = ("boards",)) -> Wood:
    """Return what an input says of its own wood. A guess at the species rules nothing out: it counts as not known."""
    species = None if getattr(x, "guessed", None) else x.species
    return Wood(species, x.treatment, x.treatment_evidence, uses, getattr(x, "material", None) or "wood")


def frame_of(frame: Frame | None) -> Wood:
    """Return what is said of the frame. Silence means a softwood of unknown preservative."""
    if frame is None:
        return Wood(uses=("frame",))
    return Wood(frame.species, frame.treatment, frame.treatment_evidence, ("frame",), frame.material or "wood")


def uses_of(part: str, *, carriers: bool | None = None) -> tuple[Use, ...]:
    """Return which of a region's rules a part falls under: that for boards and handrails, that for what carries.

    A guard with its posts and a stair with its stringers fall under both, unless ``carriers`` says they have none.
    """
    if part in _AS_FRAME:
        return ("frame",)
    return ("boards",) if part not in _WITH_CARRIERS or carriers is False else ("boards", "frame")


def note_preservative(wood: Wood, years: Years, ledger: Ledger, at: str = "", of: Place = (), **params: Any) -> None:
    """Write down what was reported, why nothing may be planned, and what would settle a stated preservative."""
    _note_reported(wood, ledger, at)
    if wood.counted in NO_WORK:
        ledger.find(NO_WORK[wood.counted][1], pointer=f"{at}/treatment", params=params, of=list(of))
    _note_unproven(wood, years, ledger, at, of, **params)


def note_frame(frame: Wood, years: Years, ledger: Ledger, at: str) -> None:
    """Write the same down of a frame: what it holds does not stop the boards, but what runs over it."""
    _note_reported(frame, ledger, at)
    if why := frame.no_work():
        ledger.find("no-work-on-frame", pointer=f"{at}/treatment", why=why)
    _note_unproven(frame, years, ledger, at, (clause("of-frame"),))


def _note_reported(wood: Wood, ledger: Ledger, at: str) -> None:
    if wood.treatment is not None and wood.evidence is not None:
        note = clause("proof-settles" if wood.proven else "proof-settles-nothing")
        evidence = Word("treatment-evidence", wood.evidence)
        told = clause("preservative-told", treatment=Word("treatment", wood.treatment), by=evidence)
        ledger.use(f"input{at}/treatment", told, "reported", note=note)


def _note_unproven(wood: Wood, years: Years, ledger: Ledger, at: str, of: Place, **params: Any) -> None:
    """Say what would settle a stated copper or none."""
    stated = wood.treatment
    if stated in ("copper", "none") and wood.arsenical(years) == "suspected":
        text = "copper-unproven" if stated == "copper" else "untreated-unproven"
        pointer = f"{at}/treatment_evidence"
        ledger.find("preservative-unproven", text=text, pointer=pointer, params=params, of=list(of))
