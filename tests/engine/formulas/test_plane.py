"""Areas seen from above."""

import pytest

from latewood.formulas import plane
from latewood.quantities import units


def test_rectangle_in_feet():
    """24 ft by 16 ft is 384 ft2, and 35.675 m2 by NIST Handbook 44 (1 ft2 = 0.09290304 m2 exactly)."""
    got = plane.rectangle_area(length=units.read("24 ft", "length"), width=units.read("16 ft", "length"))
    assert units.show(got, "ft2", "area") == pytest.approx(384, rel=1e-12)
    assert got == pytest.approx(384 * 0.09290304, rel=1e-12)


def test_net_area():
    assert plane.net_area(outline_area=384.0, holes_area=4.0, parts_area=96.0) == pytest.approx(284.0)
