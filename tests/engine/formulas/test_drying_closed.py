"""The closed form: against textbook values of the series, and against the numerical model."""

import numpy as np
import pytest

from latewood.formulas import sorption
from latewood.formulas.drying import dry
from latewood.formulas.drying_closed import Slab, Wetted, share_left_in_sheet
from latewood.formulas.drying_times import time_until

#: Roots of β tan β = B and the coefficient of the centre's series, printed in every text on heat transfer.
FIRST_TERMS = {0.1: (0.3111, 1.0161), 1.0: (0.8603, 1.1191), 10.0: (1.4289, 1.2620), 100.0: (1.5552, 1.2731)}


@pytest.mark.parametrize("biot", FIRST_TERMS)
def test_first_term_of_the_textbook_series(biot):
    """At F = 1 one term is left: mean = C1·exp(−ζ²)·sin ζ/ζ."""
    root, first = FIRST_TERMS[biot]
    expected = first * np.exp(-(root**2)) * np.sin(root) / root
    assert share_left_in_sheet(fourier=1.0, biot=biot) == pytest.approx(expected, rel=1e-3)


@pytest.mark.parametrize("fourier", [0.01, 0.05, 0.1, 0.15])
def test_early_on_the_sheet_loses_by_the_root_of_time(fourier):
    """Crank, eq. 4.20: 1 − 2·√(F/π) while the middle feels nothing yet, without resistance."""
    assert share_left_in_sheet(fourier=fourier, biot=1e6) == pytest.approx(1 - 2 * np.sqrt(fourier / np.pi), abs=2e-3)


def test_faces_may_differ():
    """A closed underside is half of a sheet twice as thick."""
    time = np.array([0.1, 0.5, 1.0])
    half, whole = Slab(1.0, 2.0, 0.0), Slab(2.0, 2.0, 2.0)
    assert half.mean_left(time, 1.0, 1.0) == pytest.approx(whole.mean_left(time, 2.0, 2.0), rel=1e-6)


def wetted(celsius, humidity, gravity, depth, core, cap):
    return Wetted(
        basic_density=gravity * 1000,
        thickness=0.025,
        core=core,
        cap=cap,
        depth=depth,
        film=0.1,
        temperature=celsius + 273.15,
        relative_humidity=humidity,
        exchange=5e-8,
        exchange_under=5e-8,
    )


def test_against_the_numerical_model(wood):
    """0.7 to 1.4 times in nine of ten cases, 0.5 to 2 times in all, where the answer is over four hours."""
    ratios = []
    for celsius, humidity in ((20, 0.65), (10, 0.6), (30, 0.5), (15, 0.7)):
        core = float(sorption.equilibrium_moisture(temperature=celsius + 273.15, relative_humidity=humidity))
        gravity = [g for g in wood.CAP for _ in range(3)]
        depth = [0.001, 0.002, 0.003] * len(wood.CAP)
        course = dry(wood.boards(gravity, depth, start=core), wood.steady(celsius, humidity, 500), outer=0.006).outer
        for limit in (0.15, 0.16, 0.18):
            exact = time_until(course[1:], limit, 3600.0, hold=0.0) + 3600
            for g, d, hours in zip(gravity, depth, exact, strict=True):
                if limit > core + 0.005 and hours > 4 * 3600:
                    ratios.append(wetted(celsius, humidity, g, d, core, wood.CAP[g]).time_until(limit, 0.006) / hours)
    assert len(ratios) > 80
    assert np.isfinite(ratios).all()
    low, high = np.percentile(ratios, [5, 95])
    assert low > 0.7
    assert high < 1.4
    assert min(ratios) > 0.5
    assert max(ratios) < 2
    assert np.median(ratios) == pytest.approx(1, abs=0.1)


def test_never_below_what_it_settles_at():
    board = wetted(20, 0.8, 0.45, 0.003, 0.14, 0.6)
    assert board.settled == pytest.approx(0.1604, abs=1e-4)
    assert board.time_until(0.15, 0.006) == np.inf
    assert board.time_until(0.18, 0.006) < 30 * 86400


def test_a_little_water_waits_for_the_film_only():
    """0.1 kg/m2 at 5e-8 kg/(m2 s Pa) and 279 Pa between wet bulb and air: two hours."""
    board = wetted(20, 0.65, 0.9, 0.001, 0.12, 0.3)
    assert board.film_time / 3600 == pytest.approx(2.0, abs=0.03)
    assert board.time_until(0.18, 0.006) == board.film_time
