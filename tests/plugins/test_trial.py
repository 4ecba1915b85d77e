"""Plugins that would stop the engine: each is tried in a process of its own, named, and the others are served."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable, Iterator, Mapping
from importlib.metadata import EntryPoint
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from tests.guests import install

import latewood
from latewood import trial
from latewood.plugin import Model, hookimpl
from latewood.plugin.loader import BadPlugin, installed
from latewood.plugin.shapes import try_model
from latewood_plugins import models, weather

Plugin = Callable[[str, Mapping[str, Any]], EntryPoint]

_HEAD = "import os, time\nfrom latewood.plugin import Model, hookimpl\n"


def one_model(kind: str, body: str, arguments: str) -> str:
    return f'''{_HEAD}
def tried(*, {arguments}):
    {body}

@hookimpl
def latewood_models():
    return [Model("{kind}", "guest-model", tried, source="judgement")]
'''


CLOCK = "surface_temperature, air_temperature, relative_humidity, coldest"
SPREADING = "rate, coat, roughness"

#: Name of a plugin → its source, and words that must be in the reason it is left out for.
BROKEN: dict[str, tuple[str, list[str]]] = {
    "a-leaves-at-import": (f"{_HEAD}os._exit(0)", ["its import ended the process (exit code 0)"]),
    "b-endless-hook": (
        f"{_HEAD}@hookimpl\ndef latewood_calculators():\n    while True:\n        pass",
        ["its hook latewood_calculators took more than 3 s"],
    ),
    "c-leaves-in-a-hook": (
        f"{_HEAD}@hookimpl\ndef latewood_records():\n    os._exit(7)",
        ["its hook latewood_records ended the process (exit code 7)"],
    ),
    "d-slow-import": (f"{_HEAD}time.sleep(100_000)", ["its import took more than 3 s"]),
    "e-one-array-for-two": (
        one_model("cure-clock", "return surface_temperature / 300", CLOCK),
        ["model cure-clock/guest-model", "given floats", "two are wanted: the slow clock and the fast clock"],
    ),
    "f-not-a-number": (one_model("spreading", "return rate * float('nan')", SPREADING), ["a float", "not a number"]),
    "g-leaves-in-a-model": (
        one_model("spreading", "os.kill(os.getpid(), 9)", SPREADING),
        ["its model spreading/guest-model ended the process (signal SIGKILL)"],
    ),
    "h-prints": (
        f'{_HEAD}print("{{}}")\n@hookimpl\ndef latewood_models():\n    raise OSError("no such disk")',
        ["OSError: no such disk"],
    ),
}
GOOD = one_model("spreading", "return rate / coat", SPREADING).replace("guest-model", "guest-good")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A folder whose plugins are installed, and another in which what is found may be kept."""
    place = tmp_path / "site"
    place.mkdir()
    monkeypatch.syspath_prepend(place)
    monkeypatch.setenv("LATEWOOD_CACHE", str(tmp_path / "kept"))
    monkeypatch.setenv("LATEWOOD_PLUGIN_SECONDS", "3")
    yield place
    for name in [name for name in sys.modules if name.startswith("guest_")]:
        del sys.modules[name]


@pytest.fixture
def started(monkeypatch: pytest.MonkeyPatch) -> list[Any]:
    """The processes that were started meanwhile."""
    found: list[Any] = []

    class Counted(subprocess.Popen[str]):
        def __init__(self, *arguments: Any, **more: Any) -> None:
            found.append(arguments)
            super().__init__(*arguments, **more)

    monkeypatch.setattr(subprocess, "Popen", Counted)
    return found


def errors(lw: latewood.Catalogue) -> dict[str, str | None]:
    return {item["id"]: item.get("error") for item in lw.health()["plugins"]}


def test_each_that_would_stop_the_engine_is_named_and_the_others_are_served(folder: Path, started: list[Any]) -> None:
    for name, (source, _) in BROKEN.items():
        install(folder, name.replace("-", "_"), source)
    install(folder, "z_good", GOOD)
    lw = latewood.load()
    found = errors(lw)
    for name, (_, words) in BROKEN.items():
        said = str(found[name.replace("-", "_")])
        assert [word for word in words if word not in said] == [], (name, said)
    assert (found["latewood"], found["z_good"]) == (None, None)
    assert ("spreading", "guest-good") in lw.shelf.models()
    assert lw.calculate("coverage", area="10 m2", coating="clear-penetrating-oil")["result"]
    # What ended a process was never let into this one.
    asked_here = {name for name in sys.modules if name.startswith("guest_")}
    assert asked_here == {f"guest_{name}" for name in ("e_one_array_for_two", "f_not_a_number", "h_prints", "z_good")}
    # Once for all, and once more for each of the five that ended it.
    assert len(started) == 6


def test_what_one_would_have_brought_is_known_though_it_is_not_asked_here(folder: Path) -> None:
    source = one_model("spreading", "os._exit(1)", SPREADING) + (
        "\n@hookimpl\ndef latewood_records():\n    from latewood.plugin import read_record\n"
        "    return [read_record(WOOD, 'guest')]\n"
        f"WOOD = '''{WOOD}'''\n"
    )
    install(folder, "leaves", source)
    lw = latewood.load()
    with pytest.raises(latewood.NotFound, match="plugin leaves would bring it but was left out"):
        lw.item("species", "guest-wood")


WOOD = """
schema = 1
record = "species"
id = "guest-wood"
title = "Guest wood"
summary = "No such tree."
botanical = "none"
group = "hardwood"
absorbency = "low"
density = { value = "700 kg/m3", source = "judgement", kind = "judgement" }
"""


def test_what_was_found_is_kept_until_a_plugin_changes(folder: Path, started: list[Any]) -> None:
    install(folder, "first", GOOD)
    assert errors(latewood.load())["first"] is None
    assert errors(latewood.load())["first"] is None
    assert len(started) == 1
    (folder / "guest_first.py").write_text(GOOD.replace("rate / coat", "None"))
    del sys.modules["guest_first"]
    assert "it returned nothing" in str(errors(latewood.load())["first"])
    assert len(started) == 2


def test_one_that_took_too_long_is_tried_again_at_the_next_start(folder: Path, started: list[Any]) -> None:
    install(folder, "slow", f"{_HEAD}time.sleep(100_000)")
    latewood.load()
    latewood.load()
    assert len(started) == 4


def test_strict_stops_at_the_first_and_names_it(folder: Path) -> None:
    install(folder, "leaves", f"{_HEAD}os._exit(0)")
    with pytest.raises(BadPlugin, match=r"plugin leaves \(guest-leaves\): its import ended the process"):
        latewood.load(strict=True)


def test_without_plugins_from_outside_no_process_is_started(started: list[Any]) -> None:
    bundled = [entry for entry in installed() if entry.name == "latewood"]
    assert trial.outcomes(bundled, trial.made_from(bundled)) == {}
    assert started == []


def test_where_no_process_can_be_had_they_are_tried_here(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    install(folder, "shape", BROKEN["e-one-array-for-two"][0])
    monkeypatch.setattr(sys, "executable", str(folder / "no-such-python"))
    assert "two are wanted" in str(errors(latewood.load())["shape"])


@pytest.mark.parametrize("model", [*models.MODELS, *weather.MODELS], ids=lambda model: f"{model.kind}/{model.name}")
def test_every_bundled_model_answers_the_examples_of_its_kind(model: Model) -> None:
    try_model(model)


def a_rate(*, rate: Any, coat: int, roughness: float) -> Any:
    return rate


def margins(found: Callable[..., Any]) -> Callable[..., Any]:
    def gates(
        *,
        air_temperature: Any,
        surface_temperature: Any,
        relative_humidity: Any,
        dew_point_spread: Any,
        rain: Any,
        wind_speed: Any,
        step: float,
        limits: Mapping[str, float],
    ) -> Any:
        return found(air_temperature)

    return gates


def clocks(found: Callable[..., Any]) -> Callable[..., Any]:
    def clock(*, surface_temperature: Any, air_temperature: Any, relative_humidity: Any, coldest: float) -> Any:
        return found(surface_temperature)

    return clock


def rates(found: Callable[..., Any]) -> Callable[..., Any]:
    def spreading(*, rate: Any, coat: int, roughness: float) -> Any:
        return found(rate, roughness)

    return spreading


def dwells(found: Callable[..., Any]) -> Callable[..., Any]:
    def dwell(*, earliest: Any, latest: Any, longest: float, slow: Any, fast: Any) -> Any:
        return found(earliest, latest, slow)

    return dwell


def spoilt(values: Any) -> Any:
    values *= 2
    return values, values


WRONG: dict[str, tuple[str, Callable[..., Any], list[str]]] = {
    "asks which rate is larger": ("spreading", rates(lambda r, x: r if r > 9e3 else r / 2), ["an uncertain rate"]),
    "of other length": ("spreading", rates(lambda r, x: r[:2] if np.ndim(r) else r), ["an array", "(2,)", "(3,)"]),
    "no rate": ("spreading", rates(lambda r, x: None), ["it returned nothing"]),
    "a rate of zero": ("spreading", rates(lambda r, x: r * 0), ["the rate is 0; it must be above 0"]),
    "fails where it is rough": ("spreading", rates(lambda r, x: r / (x == 0)), ["ZeroDivisionError", "coat 1"]),
    "an array of no axes": ("spreading", rates(lambda r, x: np.where(True, r, r)), ["array of the shape ()"]),
    "three clocks": ("cure-clock", clocks(lambda t: (t, t, t)), ["tuple of 3", "two are wanted"]),
    "clocks that run back": ("cure-clock", clocks(lambda t: (t - 300, t)), ["the slow clock is", "not be below 0"]),
    "clocks the wrong way round": ("cure-clock", clocks(lambda t: (t, t / 2)), ["faster than the fast one"]),
    "one hour at a time": ("cure-clock", clocks(lambda t: (float(t), float(t))), ["given an array of one"]),
    "flattens": ("cure-clock", clocks(lambda t: (np.ravel(t), np.ravel(t))), ["shape"]),
    "writes into what it is given": ("cure-clock", clocks(spoilt), ["given an array of one", "read-only"]),
    "clocks of text": ("cure-clock", clocks(lambda t: ("slow", "fast")), ["the slow clock is str"]),
    "an infinite clock": ("cure-clock", clocks(lambda t: (t, t * np.inf)), ["the fast clock is infinite"]),
    "a list of gates": ("gates", margins(lambda t: [t]), ["margins by the name of each gate"]),
    "gates without names": ("gates", margins(lambda t: {1: t}), ["1 is no name of a gate"]),
    "gates of a day": ("gates", margins(lambda t: {"cold": t[..., :24]}), ["gate cold is", "(24,)", "(48,)"]),
    "gates that are not known": ("gates", margins(lambda t: {"cold": t * np.nan}), ["gate cold is not a number"]),
    "passes what is not known": (
        "gates",
        margins(lambda t: {"cold": np.nan_to_num(t, nan=1.0)}),
        ["an hour that is not known", "passes every gate"],
    ),
    "must be done before it may": ("dwell", dwells(lambda a, b, s: (b, a)), ["later than the latest"]),
    "divides by the clock": (
        "dwell",
        dwells(lambda a, b, s: (np.divide(a, s), np.divide(b, s))),
        ["too cold at first", "infinite"],
    ),
}


@pytest.mark.parametrize("wrong", WRONG)
def test_a_model_that_does_not_answer_as_its_kind_does_is_named(wrong: str, plugin: Plugin) -> None:
    kind, function, words = WRONG[wrong]
    hook = hookimpl(lambda: [Model(kind, "wrong", function, source="judgement")])
    good = hookimpl(lambda: [Model("spreading", "right", a_rate, source="judgement")])
    lw = latewood.load([plugin("bad", {"latewood_models": hook}), plugin("good", {"latewood_models": good})])
    error = str(errors(lw)["bad"])
    assert error.startswith(f"model {kind}/wrong, given ")
    assert [word for word in words if word not in error] == [], error
    assert list(lw.shelf.models()) == [("spreading", "right")]
