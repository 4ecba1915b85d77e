"""What is an uncertain quantity? Values in many states of its unknowns, their arithmetic, and their quantiles."""

import math
from functools import lru_cache
from numbers import Real
from typing import TYPE_CHECKING, ClassVar, NoReturn, TypeAlias

import msgspec
import numpy as np

from latewood.uncertainty.scores import ANCHORS, DRAWS, NORMAL, Values, all_scores, probabilities

#: The two that numbers mostly are stand before the class they belong to, which takes longer to tell.
_REAL = (float, int, Real)


class Uncertain(msgspec.Struct, frozen=True, eq=False, gc=False):
    """A quantity known by its distribution; the unit is whatever unit its unknowns were given in.

    `values` is the anchors, then the draws. `paths` names the unknowns it depends on. `trend` says how it moves with
    its single unknown, as far as the scores reach: +1 never falls, -1 never rises, 0 not known to be monotone, or
    several unknowns.

    Comparing it, or using it as a float, raises TypeError: say which quantile is meant.
    """

    values: Values
    paths: frozenset[str]
    trend: int
    #: Sorted once: an answer asks for three quantiles.
    _rising: Values | None = None

    # Makes NumPy scalars leave the operation to this class instead of building arrays of objects.
    __array_ufunc__: ClassVar[None] = None
    # An identity hash beside a refused `==` would let a dictionary compare by accident.
    __hash__: ClassVar[None] = None  # type: ignore[assignment]  # the language's own way to say "not hashable"

    def __post_init__(self) -> None:
        if self.values.shape != (len(ANCHORS) + DRAWS,):
            raise ValueError(f"an uncertain quantity holds {len(ANCHORS) + DRAWS} values, got {self.values.shape}")
        if not self.paths or self.trend not in (-1, 0, 1) or (self.trend and len(self.paths) > 1):
            raise ValueError(f"trend {self.trend} cannot be said of the unknowns {sorted(self.paths)}")
        if np.count_nonzero(np.isfinite(self.values)) < len(self.values):
            raise OverflowError(f"not finite for some values of {', '.join(sorted(self.paths))}")
        self.values.setflags(write=False)

    @property
    def low(self) -> float:
        """P10: nine chances in ten that the quantity is greater."""
        return self.quantile(0.1)

    @property
    def value(self) -> float:
        """P50, the median."""
        return self.quantile(0.5)

    @property
    def high(self) -> float:
        """P90: one chance in ten that the quantity is greater."""
        return self.quantile(0.9)

    @property
    def mean(self) -> float:
        """The mean over the draws: unlike medians, means of parts add up to that of the whole."""
        return float(self.values[len(ANCHORS) :].mean())

    @property
    def central(self) -> float:
        """The quantity with every unknown at its median, as printed in a working; not the median of a sum."""
        return float(self.values[1])

    def quantile(self, p: float) -> float:
        """Give the value that the quantity stays at or below with probability `p`, above 0 and below 1.

        One unknown and a known trend: P10, P50 and P90 are exact; between the scores the interpolation runs along
        the normal score, on logarithms where all values have one sign, which is exact for a scaled lognormal and its
        powers. Otherwise: definition 5 ("hazen") of the 2048 draws. With several unknowns that is a sample: a P10 or a
        P90 so found has 10 % beyond it to within 2 points, the median 50 % to within 3.

        Source: Hyndman and Fan 1996, Sample quantiles in statistical packages, The American Statistician 50(4).
        """
        if not 0 < p < 1:
            raise ValueError(f"a probability lies between 0 and 1, both excluded; got {p!r}")
        if self.trend and p in ANCHORS:
            return float(self.values[1 + self.trend * (ANCHORS.index(p) - 1)])
        _, values, geometric = self._curve()
        i, share = _place(p, sampled=not self.trend)
        if i in (0, len(values)):
            return float(values[min(i, len(values) - 1)])
        below, above = float(values[i - 1]), float(values[i])
        if geometric:
            return below * math.exp(share * math.log(above / below))
        return below + share * (above - below)

    def exceedance(self, threshold: float) -> float:
        """Give the probability that the quantity is greater than `threshold`; the inverse of `quantile`.

        Beyond the outermost scores it is 0 or 1.
        """
        if math.isnan(threshold):
            raise ValueError("a threshold must be a number, got NaN")
        places, values, geometric = self._curve()
        i = int(np.searchsorted(values, threshold, side="right"))
        if i in (0, len(values)):
            return 0.0 if i else 1.0
        below, above = float(values[i - 1]), float(values[i])
        if geometric:
            share = math.log(threshold / below) / math.log(above / below)
        else:
            share = (threshold - below) / (above - below)
        place = float(places[i - 1]) + share * float(places[i] - places[i - 1])
        return NORMAL.cdf(-place) if self.trend else 1 - place

    def _curve(self) -> tuple[Values, Values, bool]:
        """Quantiles as a curve: places (normal scores, or probabilities), rising values, whether it is geometric."""
        values = self._rising
        if values is None:
            # The scores are symmetric about 0: sorting serves a falling quantity as well as a rising one.
            values = np.sort(self.values if self.trend else self.values[len(ANCHORS) :])
            msgspec.structs.force_setattr(self, "_rising", values)
        if not self.trend:
            return probabilities(), values, False
        return all_scores(), values, bool(values[0] > 0 or values[-1] < 0)

    def __add__(self, other: "Number") -> "Uncertain":
        if isinstance(other, Uncertain):
            return made(quiet(np.add, self.values, other.values), self, other, common_trend(self, other))
        if not isinstance(other, _REAL):
            return NotImplemented
        return made(quiet(np.add, self.values, finite(other)), self, self, self.trend)

    def __sub__(self, other: "Number") -> "Uncertain":
        return self + (-other) if isinstance(other, (Uncertain, *_REAL)) else NotImplemented

    def __mul__(self, other: "Number") -> "Uncertain":
        if isinstance(other, Uncertain):
            trend = _product_trend(self, other, other.trend)
            return made(quiet(np.multiply, self.values, other.values), self, other, trend)
        if not isinstance(other, _REAL):
            return NotImplemented
        factor = finite(other)
        return made(quiet(np.multiply, self.values, factor), self, self, self.trend if factor >= 0 else -self.trend)

    def __truediv__(self, other: "Number") -> "Uncertain":
        if isinstance(other, Uncertain):
            trend = _product_trend(self, other, -other.trend)
            return made(quiet(np.divide, self.values, _divisor(other)), self, other, trend)
        if not isinstance(other, _REAL):
            return NotImplemented
        divisor = finite(other)
        if divisor == 0:
            raise ZeroDivisionError(f"a quantity that depends on {', '.join(sorted(self.paths))} is divided by zero")
        return made(quiet(np.divide, self.values, divisor), self, self, self.trend if divisor > 0 else -self.trend)

    def __rtruediv__(self, other: float) -> "Uncertain":
        if not isinstance(other, _REAL):
            return NotImplemented
        numerator = finite(other)
        trend = -self.trend * abs(_sign(self.values)) * (1 if numerator >= 0 else -1)
        return made(quiet(np.divide, numerator, _divisor(self)), self, self, trend)

    def __pow__(self, other: float) -> "Uncertain":
        if not isinstance(other, _REAL):
            return NotImplemented
        exponent = finite(other)
        base = _divisor(self) if exponent < 0 else self.values
        sign = _sign(self.values)
        if sign <= 0 and not exponent.is_integer() and bool((base < 0).any()):
            raise ValueError(f"a power {exponent!r} of a quantity that can be negative is not a real number")
        if sign > 0:
            trend = self.trend if exponent >= 0 else -self.trend
        else:
            trend = self.trend if exponent > 0 and exponent % 2 == 1 else 0
        return made(quiet(np.power, base, exponent), self, self, trend)

    def __neg__(self) -> "Uncertain":
        return made(-self.values, self, self, -self.trend)

    def __radd__(self, other: float) -> "Uncertain":
        return self + other

    def __rsub__(self, other: float) -> "Uncertain":
        return -self + other

    def __rmul__(self, other: float) -> "Uncertain":
        return self * other

    def __reduce__(self) -> tuple[type["Uncertain"], tuple[Values, frozenset[str], int]]:
        return Uncertain, (self.values, self.paths, self.trend)

    def __repr__(self) -> str:
        return f"<Uncertain {self.value:.6g} [{self.low:.6g}, {self.high:.6g}] of {', '.join(sorted(self.paths))}>"

    if not TYPE_CHECKING:  # so that mypy refuses what is refused here, instead of believing it is defined

        def _not_comparable(self, *_: object) -> NoReturn:
            raise TypeError(
                "an uncertain quantity is not one number: take its .low, .value, .high, .quantile(p) or "
                ".exceedance(x); for the greater or the smaller of two use spread.maximum or spread.minimum"
            )

        __lt__ = __le__ = __gt__ = __ge__ = __eq__ = __ne__ = _not_comparable
        __bool__ = __float__ = __int__ = __round__ = __ceil__ = __floor__ = __trunc__ = _not_comparable


Number: TypeAlias = float | Uncertain


@lru_cache(maxsize=64)
def _place(p: float, *, sampled: bool) -> tuple[int, float]:
    """Give the place on the curve next above a probability, and the share of the way there from the one before."""
    places, place = (probabilities(), p) if sampled else (all_scores(), NORMAL.inv_cdf(p))
    i = int(np.searchsorted(places, place, side="right"))
    if i in (0, len(places)):
        return i, 0.0
    return i, (place - float(places[i - 1])) / float(places[i] - places[i - 1])


def made(values: Values, a: Uncertain, b: Uncertain, trend: int) -> Uncertain:
    """Give the quantity computed from `a` and `b`, which depends on the unknowns of both."""
    return Uncertain(values, a.paths if a.paths == b.paths else a.paths | b.paths, trend)


@np.errstate(all="ignore")
def quiet(operation: np.ufunc, a: Values | float, b: Values | float) -> Values:
    """Do an array operation without NumPy's warnings: Uncertain refuses what is not finite, and names the unknowns."""
    result: Values = operation(a, b)
    return result


def common_trend(a: Uncertain, b: Uncertain) -> int:
    """Give the trend of a sum, maximum or minimum: known where one unknown moves both the same way."""
    return a.trend if a.paths == b.paths and a.trend == b.trend else 0


def _product_trend(a: Uncertain, b: Uncertain, b_trend: int) -> int:
    """Magnitudes that move alike give a magnitude that moves alike; the signs then turn it."""
    # Seldom is one unknown in both: look at that before at the signs of two thousand values.
    if not a.trend or not b_trend or a.paths != b.paths:
        return 0
    moves, sign = a.trend * _sign(a.values), _sign(b.values)
    return a.trend * sign if moves and moves == b_trend * sign else 0


def _sign(values: Values) -> int:
    if values.min() >= 0:
        return 1
    return -1 if values.max() <= 0 else 0


def _divisor(x: Uncertain) -> Values:
    if not x.values.all():
        raise ZeroDivisionError(f"a divisor that depends on {', '.join(sorted(x.paths))} can be zero")
    return x.values


def finite(x: float) -> float:
    """Give a number as a float; ValueError if it is not finite."""
    number = float(x)
    if not math.isfinite(number):
        raise ValueError(f"a quantity must be finite, got {number!r}")
    return number
