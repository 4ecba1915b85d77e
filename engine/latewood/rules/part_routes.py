"""How a part that stands on a floor is prepared: its own route, by its own old finish and what is seen on itself."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from latewood.declare import RecordLookup
from latewood.messages import Titled, refusal
from latewood.problems import Fault
from latewood.records import Route
from latewood.rules.old_and_new_finish import Pair
from latewood.rules.sign_meanings import MEANINGS
from latewood.rules.signs import Sign
from latewood.rules.surface_layers import covering_of
from latewood.rules.wash_recipe import sands_down


def floor_route_faults(route: Route | None, at: str) -> Iterator[Fault]:
    """Find a route that is chosen for a floor and serves none."""
    if route is not None and "boards" not in route.serves:
        yield refusal("not-a-route-of-floors", at, route=Titled(route))


def part_route(
    part: str, finish: Pair, signs: Iterable[Sign], known: RecordLookup, *, to_wood: bool = False
) -> Route | None:
    """Return the mildest route that serves a part and suits its old finish; ``to_wood`` where it must reach bare wood.

    A sound old finish stays under a new one of its kind. Common practice, no source.
    """
    seen = tuple(signs)
    covering = covering_of(finish.old, seen)
    down = to_wood or not _stays(finish, seen)
    routes: Iterable[Route] = known.records("route").values()
    suited = [route for route in routes if part in route.serves and covering in route.suits]
    return min((route for route in suited if sands_down(route) or not down), key=sands_down, default=None)


def _stays(finish: Pair, signs: tuple[Sign, ...]) -> bool:
    """Say whether the old finish may stay: it is sound, and the new one holds over it and is a film where it is."""
    unsound = "film-peeling" in signs or any(MEANINGS[sign].scuff for sign in signs)
    return finish.fit == "holds" and finish.new.film is finish.film and not unsound
