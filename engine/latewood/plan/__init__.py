"""From a job to a plan: the steps, in order, with what each found."""

from latewood.plan.job import Job
from latewood.plan.run import draw, read_job, run

__all__ = ["Job", "draw", "read_job", "run"]
