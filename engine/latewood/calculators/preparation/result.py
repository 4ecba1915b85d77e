"""What preparation answers."""

from __future__ import annotations

from datetime import date
from typing import Annotated

import msgspec

from latewood.calculators.preparation.fields import Open, RouteResult
from latewood.declare import F, Q
from latewood.rules.hazards import Suspicion
from latewood.rules.sign_actions import SignEffect
from latewood.uncertainty.spread import Number


class Result(msgspec.Struct, frozen=True, kw_only=True):
    """The routes side by side, and the one to take."""

    recommendation: Annotated[str, F("Route to take; none where every one is ruled out")]
    chosen: Annotated[str, F("Route the plan goes by: the caller's, else the recommended one; none where nothing goes")]
    arsenical: Annotated[Suspicion, F("Whether the wood may hold arsenic")]
    frame_arsenical: Annotated[Suspicion, F("Whether the frame under it may hold arsenic")]
    lead_paint: Annotated[Suspicion, F("Whether the old coating may hold lead")]
    drying_time: (
        Annotated[Number, Q("h", "Wait after a wash until the wood may be coated; left out where it never may")] | None
    ) = None
    test_again_after: (
        Annotated[Number, Q("h", "Time until drops are put on it again; new treated wood on which they bead waits")]
        | None
    ) = None
    test_again_on: Annotated[date, F("Earliest day to put drops on it again")] | None = None
    signs: Annotated[tuple[SignEffect, ...], F("What comes of each sign on the route the plan goes by")] = ()
    rests_on: Annotated[tuple[Open, ...], F("What is not known yet and may change the route the plan goes by")] = ()
    routes: Annotated[tuple[RouteResult, ...], F("Every route, the recommended one first")]

    @property
    def taken(self) -> RouteResult | None:
        """The route the plan goes by."""
        return next((route for route in self.routes if route.id == self.chosen), None)

    @property
    def work_time(self) -> Number | None:
        """The hours of work on that route."""
        return None if self.taken is None else self.taken.work_time

    @property
    def ready_after(self) -> Number | None:
        """The time until the wood may be coated by that route."""
        return None if self.taken is None else self.taken.elapsed
