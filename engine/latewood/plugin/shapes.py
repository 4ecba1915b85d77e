"""What each kind of model must return, and the example values it is called with before its plugin is used."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from typing import Any, Final

import numpy as np

from latewood.plugin.models import Model
from latewood.uncertainty.spread import Uncertain, from_range, value

Given = Mapping[str, Any]
Test = Callable[[Given, Any], None]


class BadResult(ValueError):
    """What a model returned is not what its kind returns."""


# -- the form of what is returned, at every call


def check_form(kind: str, given: Given, result: Any) -> None:
    """Raise `BadResult` where a result has not the form that a model of this kind returns for what it was given."""
    _FORMS[kind](given, result)


def _rate(given: Given, result: Any) -> None:
    rate = given["rate"]
    if isinstance(rate, np.ndarray):
        _array(result, rate.shape, "a spreading rate")
    elif isinstance(result, bool) or not isinstance(result, int | float | Uncertain):
        raise BadResult(f"it returned {_kind(result)} for {_kind(rate)}; one number is wanted")


def _clocks(given: Given, result: Any) -> None:
    names = ("surface_temperature", "air_temperature", "relative_humidity")
    _pair(result, _shape(given, names), ("the slow clock", "the fast clock"))


def _dwell(given: Given, result: Any) -> None:
    _pair(result, _shape(given, ("earliest", "latest", "slow", "fast")), ("the earliest", "the latest"))


def _margins(given: Given, result: Any) -> None:
    if not isinstance(result, Mapping):
        raise BadResult(f"it returned {_kind(result)}; margins by the name of each gate are wanted")
    shape = _shape(given, ("air_temperature", "surface_temperature", "relative_humidity", "rain", "wind_speed"))
    for name, margin in result.items():
        if not isinstance(name, str) or not _GATE.fullmatch(name):
            raise BadResult(f"{name!r} is no name of a gate: small letters, digits and hyphens are wanted")
        _array(margin, shape, f"gate {name}")


def _pair(result: Any, shape: tuple[int, ...], names: Sequence[str]) -> None:
    if not isinstance(result, tuple | list) or len(result) != len(names):
        raise BadResult(f"it returned {_kind(result)}; two are wanted: {' and '.join(names)}")
    for name, one in zip(names, result, strict=True):
        _array(one, shape, name)


def _array(found: Any, shape: tuple[int, ...], name: str) -> None:
    """See to it that these are numbers, one or one for each of what was given."""
    try:
        have = np.asarray(found)
        fits = have.dtype.kind in "fiu" and np.broadcast_shapes(have.shape, shape) == shape
    except (TypeError, ValueError):
        fits = False
    if not fits:
        wanted = f"an array of the shape {shape}, or one number," if shape else "one number"
        raise BadResult(f"{name} is {_kind(found)}; {wanted} is wanted")


def _shape(given: Given, names: Sequence[str]) -> tuple[int, ...]:
    return np.broadcast_shapes(*(np.shape(given[name]) for name in names))


def _kind(value: Any) -> str:
    if isinstance(value, np.ndarray):
        return f"an array of the shape {value.shape}"
    if isinstance(value, tuple | list):
        return f"{type(value).__name__} of {len(value)}"
    return "nothing" if value is None else f"{type(value).__name__} {value!r:.40}"


_GATE: Final = re.compile(r"[a-z][a-z0-9-]*")
_FORMS: Final[Mapping[str, Test]] = {"spreading": _rate, "cure-clock": _clocks, "gates": _margins, "dwell": _dwell}


# -- what the values must be, for the examples


def try_model(model: Model) -> None:
    """Call a model with each example of its kind; raise `BadResult` with the first that it does not answer."""
    for what, given in _EXAMPLES[model.kind]():
        try:
            with np.errstate(all="ignore"):
                result = model.function(**given)
            check_form(model.kind, given, result)
            _VALUES[model.kind](given, result)
        except BadResult as wrong:
            raise BadResult(f"given {what}: {wrong}") from None
        except Exception as error:
            raise BadResult(f"given {what}: {type(error).__name__}: {error}") from error


def _rate_values(given: Given, result: Any) -> None:
    _finite(value(result) if isinstance(result, Uncertain) else result, "the rate", least=0.0, above=True)


def _in_order(first: str, last: str, wrong: str) -> Test:
    """Return the test of two series of which the first is nowhere above the last."""

    def test(given: Given, result: Any) -> None:
        low, high = result
        _finite(low, first, least=0.0)
        _finite(high, last, least=0.0)
        if np.any(np.asarray(low) > np.asarray(high) * (1 + 1e-9)):
            raise BadResult(f"{first}, which comes first, is {wrong}")

    return test


def _margin_values(given: Given, result: Any) -> None:
    unknown = np.isnan(np.asarray(given["air_temperature"]))
    for name, margin in result.items():
        margins = np.broadcast_to(np.asarray(margin, float), unknown.shape)
        # What lies beyond the series is not known: those that look there say so.
        looks = name.endswith(("-later", "-before"))
        if not looks:
            _finite(margins[~unknown], f"gate {name}", infinite=True)
    if result and unknown.any():
        passing = np.logical_and.reduce(
            [np.broadcast_to(np.asarray(one, float), unknown.shape) >= 0 for one in result.values()]
        )
        if np.any(passing & unknown):
            raise BadResult("an hour whose weather is not known passes every gate")


def _finite(found: Any, name: str, *, least: float = -np.inf, above: bool = False, infinite: bool = False) -> None:
    values = np.asarray(found, float)
    if np.isnan(values).any():
        raise BadResult(f"{name} is not a number (NaN)")
    if not infinite and np.isinf(values).any():
        raise BadResult(f"{name} is infinite")
    if np.any(values <= least if above else values < least):
        raise BadResult(f"{name} is {values.min():g}; it must {'be above' if above else 'not be below'} {least:g}")


_VALUES: Final[Mapping[str, Test]] = {
    "spreading": _rate_values,
    "cure-clock": _in_order("the slow clock", "the fast clock", "faster than the fast one"),
    "gates": _margin_values,
    "dwell": _in_order("the earliest", "the latest", "later than the latest"),
}


# -- the examples: a float, arrays whose last axis is time, an uncertain quantity, each where the kind takes it


def _spreading() -> Iterator[tuple[str, Given]]:
    rates = {
        "a float": 10_000.0,
        "an uncertain rate": from_range("example/rate", 8_000.0, 12_000.0),
        "an array": _fixed([6_000.0, 10_000.0, 14_000.0]),
    }
    for what, rate in rates.items():
        for coat in (1, 2):
            for roughness in (0.0, 1e-4):
                yield f"{what}, coat {coat}", {"rate": rate, "coat": coat, "roughness": roughness}


def _clock() -> Iterator[tuple[str, Given]]:
    names = ("surface_temperature", "air_temperature", "relative_humidity")
    one = (296.15, 294.15, 0.5)
    hours = [_fixed(values) for values in ([268.15, 283.15, 296.15, 318.15], [270.0, 285.0, 296.0, 305.0])]
    day = (*hours, _fixed([0.05, 0.5, 0.9, 1.0]))
    cases = {
        "floats": one,
        "an array of one": tuple(_fixed([number]) for number in one),
        "arrays": day,
        "arrays of three decks": tuple(_decks(values) for values in day),
    }
    for what, values in cases.items():
        yield what, {**dict(zip(names, values, strict=True)), "coldest": 278.15}


def _weather() -> Iterator[tuple[str, Given]]:
    hours = 48
    turn = np.linspace(0.0, 4 * np.pi, hours)
    fair = {
        "air_temperature": 288.15 + 8 * np.sin(turn),
        "surface_temperature": 292.15 + 14 * np.sin(turn),
        "relative_humidity": 0.6 - 0.3 * np.sin(turn),
        "dew_point_spread": 6.0 + 5 * np.sin(turn),
        "rain": np.where(np.arange(hours) % 17 == 0, 0.002, 0.0),
        "wind_speed": 3.0 + 3 * np.cos(turn),
    }
    limits = {
        "coldest": 283.15,
        "hottest": 308.15,
        "humidity": 0.85,
        "spread": 3.0,
        "wind": 6.7,
        "dry_before": 7_200.0,
        "hold": 10_800.0,
        "hold_coldest": 283.15,
        "cool_for": 7_200.0,
    }
    gap = {name: np.where(np.arange(hours) == hours // 2, np.nan, values) for name, values in fair.items()}
    for what, weather, these in (
        ("arrays", fair, limits),
        ("arrays, and no limit", fair, {}),
        ("arrays with an hour that is not known", gap, limits),
    ):
        yield what, {**{name: _fixed(values) for name, values in weather.items()}, "step": 3600.0, "limits": these}
    decks = {name: _decks(values) for name, values in fair.items()}
    yield "arrays of three decks", {**decks, "step": 3600.0, "limits": limits}


def _wiping() -> Iterator[tuple[str, Given]]:
    for what, slow, fast in (
        ("floats", 0.8, 1.2),
        ("an array of one", _fixed([0.8]), _fixed([1.2])),
        ("arrays, too cold at first", _fixed([0.0, 0.5, 2.0]), _fixed([0.0, 0.8, 3.0])),
    ):
        yield what, {"earliest": 900.0, "latest": 1_800.0, "longest": 3_600.0, "slow": slow, "fast": fast}


_EXAMPLES: Final[Mapping[str, Callable[[], Iterator[tuple[str, Given]]]]] = {
    "spreading": _spreading,
    "cure-clock": _clock,
    "gates": _weather,
    "dwell": _wiping,
}


def _fixed(values: Any) -> Any:
    """Return an array that cannot be written: what a model is given belongs to whoever calls it."""
    found = np.array(values, float)
    found.setflags(write=False)
    return found


def _decks(values: Any) -> Any:
    return _fixed(np.stack([values, values, values]))
