"""When a coat is due and when it is too late, on boards as warm as they are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from latewood.calculators.wipe_cadence.fields import CadenceProduct
from latewood.calculators.wipe_cadence.inputs import Inputs
from latewood.declare import RecordLookup
from latewood.problems import Fault, InputProblem
from latewood.provenance import Ledger
from latewood.records import Coating, WipingRegime
from latewood.uncertainty import spread

#: Where nobody said how warm the boards are, and how damp the air: the state times are given for.
STANDARD: Final = 296.15
HALF: Final = 0.5
Span = tuple[float, float]


@dataclass(frozen=True)
class Window:
    """From a first stroke (s): when the next thing may be done, and by when it must be."""

    due: float
    by: float


@dataclass(frozen=True)
class WipeWindows:
    """The windows of wiping and of the second coat, and the times at 23 °C they come from."""

    regime: WipingRegime
    wipe: Window
    second: Window | None


def clocked(x: Inputs, regime: WipingRegime, temperature: float, ledger: Ledger, known: RecordLookup) -> WipeWindows:
    """Return the windows on boards of a temperature (K), by the family's clock and dwell."""
    product = x.product or CadenceProduct()
    models = x.coating.models
    rates = _rates(x.coating, temperature, HALF if x.relative_humidity is None else x.relative_humidity, ledger, known)
    dwell = known.model("dwell", models["dwell"])
    wipe, longest = _wipe(x.coating, product, regime, ledger)
    tolerance = spread.central(ledger.take(regime.tolerance))
    due, by = _about(wipe, tolerance)
    second = None
    if regime.wet_on_wet:
        first, last = _about(_second(x.coating, product, ledger), tolerance)
        second = _window(dwell, first, last, last, rates)
    return WipeWindows(regime, _window(dwell, due, by, max(longest, by), rates), second)


def _rates(
    coating: Coating, temperature: float, humidity: float, ledger: Ledger, known: RecordLookup
) -> tuple[Any, Any]:
    limits = coating.limits
    coldest = 0.0 if limits is None or limits.coldest is None else spread.value(ledger.take(limits.coldest))
    clock = known.model("cure-clock", coating.models["cure-clock"])
    face = np.array([temperature])
    # Only the clock of waterborne coats asks for the air, which is taken to be as warm as the boards.
    slow, fast = clock(
        surface_temperature=face, air_temperature=face, relative_humidity=np.array([humidity]), coldest=coldest
    )
    return slow, fast


def _window(dwell: Any, earliest: float, latest: float, longest: float, rates: tuple[Any, Any]) -> Window:
    slow, fast = rates
    due, by = dwell(earliest=earliest, latest=latest, longest=longest, slow=slow, fast=fast)
    return Window(float(np.ravel(due)[0]), float(np.ravel(by)[0]))


def _about(span: Span, tolerance: float) -> Span:
    """Return a span; a time that is given as one figure begins there, and nobody means the very second."""
    low, high = span
    return span if high > low else (low, high * (1 + tolerance))


def _wipe(coating: Coating, product: CadenceProduct, regime: WipingRegime, ledger: Ledger) -> tuple[Span, float]:
    """Return when to wipe at 23 °C and the longest it may take: the sheet's, the family's, or those of the regime."""
    of_family = coating.dwell
    if of_family is not None and (of_family.second_coat is not None) != regime.wet_on_wet:
        of_family = None
    number = regime.wipe if of_family is None else of_family.wipe
    limit = regime.longest if of_family is None else of_family.longest
    if product.wipe is not None:
        wipe = spread.low(product.wipe), spread.high(product.wipe)
    elif number is not None:
        taken = ledger.take(number)
        wipe = spread.low(taken), spread.high(taken)
    else:
        raise _unsaid(
            "/product/wipe", f"nothing says when {coating.title} is wiped that is laid {regime.title.lower()}"
        )
    if product.longest_wipe is not None:
        return wipe, product.longest_wipe
    return wipe, wipe[1] if limit is None else spread.value(ledger.take(limit))


def _second(coating: Coating, product: CadenceProduct, ledger: Ledger) -> Span:
    if product.second_coat is not None:
        return spread.low(product.second_coat), spread.high(product.second_coat)
    if coating.dwell is None or coating.dwell.second_coat is None:
        raise _unsaid(
            "/product/second_coat", f"nothing says when the second coat of {coating.title} goes on the wet first"
        )
    taken = ledger.take(coating.dwell.second_coat)
    return spread.low(taken), spread.high(taken)


def _unsaid(pointer: str, detail: str) -> InputProblem:
    return InputProblem([Fault(pointer=pointer, code="missing", detail=detail, expected="a time, such as 20-60 min")])
