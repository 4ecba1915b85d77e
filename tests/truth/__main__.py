"""Print how far answers lie from what is true where it can be seen.

Run: python -m tests.truth
"""

from __future__ import annotations

from tests.truth.board_days import compared


def main() -> None:
    """Print the temperature of boards beside finite differences."""
    print("face of a board beside finite differences: root mean square, most, and at sunrise, K")
    for one in compared():
        (rms, most, rise), (old_rms, old_most, old_rise) = one.worst(one.engine), one.worst(one.steady)
        print(
            f"  {one.name:24} {rms:4.2f} {most:4.2f} {rise:+5.2f}"
            f"   without storage and loss below {old_rms:5.2f} {old_most:5.2f} {old_rise:+5.2f}"
        )


if __name__ == "__main__":
    main()
