"""The weather of a job at its place, as steps that come before and after the windows read it."""

from __future__ import annotations

from latewood.plan.job import Job
from latewood.provenance import Ledger
from latewood.weather import Hours, Place, resolve


def place_of(job: Job) -> Place:
    """Return where the deck is."""
    return Place(latitude=job.site.latitude, longitude=job.site.longitude, timezone=job.site.timezone)


def hours_of(job: Job) -> Hours | None:
    """Return the weather of a job; None where it gives none. What is assumed of it is said by the step on windows."""
    return None if job.weather is None else resolve(job.weather, place_of(job), Ledger("aside"))
