"""The rhythm of coating and wiping: what a course takes, how long the first wood of a band waits, how many cloths.

A course is one board from end to end, with its gap; a band is the courses that are laid before they are wiped. Counts
are given as percentages: 600 % is six courses.
"""

from __future__ import annotations

from typing import Annotated

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_ARITHMETIC = "arithmetic: the meaning of a pace"


@formula(symbols="A_c = p·l", source="plane geometry", holds="a full board and its gap")
def course_area(
    pitch: Annotated[Number, Symbol("p", "mm")], course_length: Annotated[Number, Symbol("l", "m")]
) -> Annotated[Number, Symbol("A_c", "m2")]:
    """Multiply the distance from one board to the next by the length of the course."""
    return pitch * course_length


@formula(
    symbols="t_c = A_c/(k·v)", source=_ARITHMETIC, holds="k as a percentage: 200 % is two people, who share a board"
)
def course_time(
    area: Annotated[Number, Symbol("A_c", "m2")],
    people: Annotated[Number, Symbol("k", "%")],
    pace: Annotated[Number, Symbol("v", "m2/h")],
) -> Annotated[Number, Symbol("t_c", "min")]:
    """Divide the area of a course by what the people at it do in an hour."""
    return area / (people * pace)


@formula(symbols="t_e = e/(k·v)", source=_ARITHMETIC, holds="k as a percentage: 200 % is two people")
def cut_in_time(
    edge_length: Annotated[Number, Symbol("e", "m")],
    people: Annotated[Number, Symbol("k", "%")],
    pace: Annotated[Number, Symbol("v", "m/h")],
) -> Annotated[Number, Symbol("t_e", "min")]:
    """Divide the edge work by what the people at it do in an hour."""
    return edge_length / (people * pace)


@formula(
    symbols="n = t/t_c",
    source="arithmetic: whole courses are the part before the point",
    holds="n as a percentage: 600 % is six courses; whoever lays goes on without a stop",
)
def courses_within(
    time: Annotated[Number, Symbol("t", "min")], course_time: Annotated[Number, Symbol("t_c", "min")]
) -> Annotated[Number, Symbol("n", "%")]:
    """Divide a time by that of a course: how many courses fit."""
    return time / course_time


@formula(
    symbols="t_1 = n·(t_e + t_c) + t_t + t_w",
    source="arithmetic: the first wood of a band is wet until the whole band is laid and its first course is wiped",
    where="the same people lay and wipe; edges are cut in before the field",
    holds="n as a percentage: 600 % is six courses",
)
def first_wait(
    courses: Annotated[Number, Symbol("n", "%")],
    cut_in_time: Annotated[Number, Symbol("t_e", "min")],
    course_time: Annotated[Number, Symbol("t_c", "min")],
    turn_time: Annotated[Number, Symbol("t_t", "min")],
    wiping_time: Annotated[Number, Symbol("t_w", "min")],
) -> Annotated[Number, Symbol("t_1", "min")]:
    """Add up what passes from the first stroke of a band until its first course is wiped."""
    return courses * (cut_in_time + course_time) + turn_time + wiping_time


@formula(
    symbols="n = A/a", source=_ARITHMETIC, holds="n as a percentage: 500 % is five; whole cloths are the next number up"
)
def cloths_by_area(
    area: Annotated[Number, Symbol("A", "m2")], cloth_area: Annotated[Number, Symbol("a", "m2")]
) -> Annotated[Number, Symbol("n", "%")]:
    """Divide the area by what one cloth wipes."""
    return area / cloth_area


@formula(
    symbols="n = V/v", source=_ARITHMETIC, holds="n as a percentage: 500 % is five; V is laid on, not what is wiped off"
)
def cloths_by_volume(
    applied: Annotated[Number, Symbol("V", "L")], cloth_volume: Annotated[Number, Symbol("v", "L")]
) -> Annotated[Number, Symbol("n", "%")]:
    """Divide what is laid on by what one cloth is wanted for."""
    return applied / cloth_volume
