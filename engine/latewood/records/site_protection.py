"""What each kind of work scatters, how far, and in what wind it has to stop."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, ClassVar

from latewood.problems import Fault
from latewood.provenance import Sourced
from latewood.records.base import Record
from latewood.records.fields import Ref
from latewood.records.number import N


class SiteProtection(Record, frozen=True, kw_only=True):
    """One kind of work, and what is to be covered or kept off while it is done."""

    KIND: ClassVar[str] = "site-protection"

    scatters: Annotated[str, "What leaves the work: dust, splashes, drift, in words"]
    reach: Annotated[Sourced, N("m", "Distance to which the ground is covered beyond the work", most=50)]
    cover_height: Annotated[Sourced, N("m", "Height to which what adjoins is covered", most=20)]
    wind_limit: Annotated[Sourced, N("m/s", "Wind at which the work stops", least=0.5, most=30)]
    openings_within: Annotated[
        Sourced | None, N("m", "Distance within which doors and windows stay shut", least=0.5, most=50)
    ] = None
    overlap: Annotated[Sourced, N("%", "Sheet more than the area, for laps and edges", most=100)]
    drifts: Annotated[bool, "Whether wind carries it beyond the reach, so that it is not done beside others' property"]
    covers_plants: Annotated[bool, "Whether plants within reach are covered"]
    with_lead: Annotated[str | None, Ref("site-protection"), "What holds instead where lead is not ruled out"] = None
    mask_rate: Annotated[str, Ref("rate")]
    sheet_rate: Annotated[str, Ref("rate")]
    do: Annotated[tuple[str, ...], "What else to do, in the order it is done"] = ()

    def conflicts(self) -> Iterator[Fault]:
        """Look for a kind of work that stands for itself."""
        if self.with_lead == self.id:
            yield Fault(
                pointer="/with_lead", code="conflict", detail="it names itself", expected="another record, or none"
            )
