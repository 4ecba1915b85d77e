"""How many ordinary dry days have a window: 35 days from April to October at 41°N, each with five highs.

The nights are 10 K colder, the air has 60 % on the mean, a fifth of the sky is clouded, the wind blows at 2 m/s.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Any

from latewood.catalogue import Catalogue

FIRST, EVERY, COUNT = date(2026, 4, 1), timedelta(days=6), 35
HIGHS = (14, 18, 22, 26, 30)
SITE = {"latitude": "41 deg", "longitude": "-74 deg", "timezone": "America/New_York"}
#: The thinnest board the calculator takes, with nothing given off below: as if boards stored nothing.
THIN = {"thickness": "5 mm", "heat_below": "0 W/m2/K"}


def without_window(lw: Catalogue, coating: str, **boards: str) -> int:
    """Return on how many of the days nothing can be begun."""
    return sum(not answer["result"]["windows"] for answer in answers(lw, coating, **boards))


def lines(lw: Catalogue) -> Iterator[str]:
    """Yield how many days have no window, on how many of these nothing is proposed, and what moves the count."""
    for coating in ("clear-penetrating-oil", "semi-transparent-oil-stain"):
        shut = [answer["result"] for answer in answers(lw, coating) if not answer["result"]["windows"]]
        thin, brief = without_window(lw, coating, **THIN), without_window(lw, coating, laying_time="2 h")
        helpless = sum(not result["proposals"] for result in shut)
        yield (
            f"{coating:28} {len(shut):3}   and nothing proposed opens one {helpless:3}"
            f"   laid in 2 h, not 3 {brief:3}   as if boards stored nothing {thin:3}"
        )


def answers(lw: Catalogue, coating: str, **boards: str) -> Iterator[dict[str, Any]]:
    """Yield the answer of each day, followed by three like it."""
    for place in range(COUNT):
        for high in HIGHS:
            days = [
                {
                    "date": (FIRST + place * EVERY + timedelta(days=more)).isoformat(),
                    "warmest": f"{high} degC",
                    "coldest": f"{high - 10} degC",
                    "relative_humidity": "60 %",
                    "wet_spells": "none",
                    "cloud": "20 %",
                    "wind_speed": "2 m/s",
                }
                for more in range(4)
            ]
            yield lw.calculate("cure-windows", coating=coating, brief=True, weather={"days": days}, **SITE, **boards)
