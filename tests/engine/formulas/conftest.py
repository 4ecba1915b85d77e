"""Boards and weather for the tests of drying."""

from types import SimpleNamespace

import numpy as np
import pytest

from latewood.formulas.drying import Air, Boards

#: What wetting fills the wood to, by basic specific gravity: the reference cases' own assumption.
CAP = {0.32: 0.8, 0.45: 0.6, 0.71: 0.4, 0.9: 0.3}


def boards(gravity, depth=0.003, start=0.11996, thickness=0.025, film=0.1, factor=1.0, cap=None, skin=0.0, deep=0.0):
    gravity = np.atleast_1d(np.asarray(gravity, dtype=float))
    filled = np.array([CAP[g] for g in gravity.tolist()]) if cap is None else cap

    def row(value):
        return np.broadcast_to(np.asarray(value, dtype=float), gravity.shape).copy()

    return Boards(
        basic_density=gravity * 1000,
        thickness=row(thickness),
        start=row(start),
        cap=row(filled),
        depth=row(depth),
        film=row(film),
        skin=row(skin),
        skin_depth=row(deep),
        factor=row(factor),
    )


def steady(celsius, humidity, hours, washed=True, exchange=5e-8, under=5e-8, step=3600.0, surface=None):
    def column(value):
        return np.full((hours, 1), float(value))

    water = column(0.0)
    water[0] = 1e3 if washed else 0.0
    top = celsius if surface is None else surface
    return Air(
        step=step,
        temperature=column(celsius + 273.15),
        relative_humidity=column(humidity),
        surface_temperature=column(top + 273.15),
        exchange=column(exchange),
        exchange_under=column(under),
        water=water,
    )


def daily(climate, days, washed_at=None, peak=15):
    """Return days of a cosine, warmest and driest at three in the afternoon."""
    mean, swing, humid, humid_swing = climate
    wave = np.cos(2 * np.pi * (np.arange(days * 24) + 0.5 - peak) / 24)[:, None]
    water = np.zeros_like(wave)
    if washed_at is not None:
        water[washed_at] = 1e3
    temperature, exchange = 273.15 + mean + swing * wave, np.full_like(wave, 5e-8)
    humidity = (humid - humid_swing * wave) / 100
    return Air(3600.0, temperature, humidity, temperature, exchange, exchange, water)


@pytest.fixture(scope="session")
def wood():
    return SimpleNamespace(boards=boards, steady=steady, daily=daily, CAP=CAP)
