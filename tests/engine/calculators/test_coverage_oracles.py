"""The optima stored in the shipped checks, found anew by the library they name."""

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp

from latewood.quantities import money, units


def cases(engine):
    groups = [check for check in engine.shelf.records("check").values() if check.source == "scipy-milp"]
    return [case for check in groups for case in check.cases]


def test_all_stored_optima_are_optima(engine):
    """Least cost of whole containers that hold the demand, by the HiGHS solver; prices are invented."""
    found = cases(engine)
    assert len(found) == 24
    for case in found:
        area = units.read(case.input["area"], "area")
        rate = units.read(case.input["product"]["spreading_rate"], "spreading-rate")
        fills = np.array([units.read(c["size"], "volume") for c in case.input["containers"]])
        costs = np.array([float(money.read_money(c["price"]).amount) for c in case.input["containers"]])
        # In shares of the demand, so that the solver's tolerance of 1e-6 is one of the demand.
        holds = LinearConstraint(fills / (area / rate), lb=1.0 - 1e-9)
        best = milp(costs, constraints=holds, integrality=np.ones(len(costs)))
        assert best.success, best.message
        assert best.fun == pytest.approx(float(case.expected["purchase.cost"].split()[0]), abs=1e-6), case.id
