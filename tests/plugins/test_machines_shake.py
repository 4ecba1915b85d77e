"""Machines of the shelf: every powered one says how it shakes the hand, none by hand does."""

import pytest

from latewood.records import Machine, read_pack

MACHINES = [record for record in read_pack("latewood_plugins") if isinstance(record, Machine)]


@pytest.mark.parametrize("machine", MACHINES, ids=lambda one: one.id)
def test_what_is_powered_shakes(machine):
    assert (machine.vibration is not None) is machine.powered
