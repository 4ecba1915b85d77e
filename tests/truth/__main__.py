"""Print how far answers lie from what is true where it can be seen.

Run: python -m tests.truth
"""

from __future__ import annotations

from tests.truth import assumed, movement_ranges, ordinary_days, thin_air, washed
from tests.truth.board_days import compared
from tests.truth.ordinary_days import COUNT, HIGHS

import latewood


def main() -> None:
    """Print the temperature of boards beside finite differences, days without a window, effects of assumptions."""
    print("face of a board beside finite differences: root mean square, most, and at sunrise, K")
    for one in compared():
        (rms, most, rise), (old_rms, old_most, old_rise) = one.worst(one.engine), one.worst(one.steady)
        print(
            f"  {one.name:24} {rms:4.2f} {most:4.2f} {rise:+5.2f}"
            f"   without storage and loss below {old_rms:5.2f} {old_most:5.2f} {old_rise:+5.2f}"
        )
    lw = latewood.load()
    print(f"ordinary dry days without a window, of {COUNT * len(HIGHS)}")
    for line in ordinary_days.lines(lw):
        print(f"  {line}")
    print("change of the width of a flat-sawn board of 140 mm from 12 to 16 %: low, middle, high")
    for line in movement_ranges.lines(lw):
        print(f"  {line}")
    print("wait of washed, weathered hardwoods, by the depth of wetting that is assumed")
    for line in washed.lines(lw):
        print(f"  {line}")
    print("drying at sea level and high up, beside psychrolib in brackets")
    for line in thin_air.lines(lw):
        print(f"  {line}")
    print("largest change that another value of an assumption brings: as said, and by the whole calculator")
    for line in assumed.lines(lw):
        print(f"  {line}")


if __name__ == "__main__":
    main()
