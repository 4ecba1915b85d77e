"""How boards dry after they were wetted: diffusion through the thickness, exchange with the weather on both faces.

One board is a column of cells from the upper face down, many boards are solved side by side. Below fibre saturation
water moves by diffusion; rain and washing fill the outer millimetres and leave a film: the wood under it takes of it
until its cell walls are full, and dries once it is gone. Each step is implicit, so that none is too long to be stable.

SI throughout; moisture content is a share of the oven-dry mass. Held against the analytic series, a fine grid and
reference cases in the tests.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from latewood.formulas import diffusion
from latewood.formulas.drying_air import Air, Faces, humidity_of
from latewood.formulas.tridiagonal import Tridiagonal

Array = NDArray[np.float64]

#: Cells through the thickness, and how much each is thicker than the one nearer to a face.
CELLS, GROWTH = 24, 1.3
#: Above this the cell walls are full: diffusivity rises no further. Wood in saturated air at 20 °C, eq. 4-5.
FULL = 0.288
#: Longest step (s) by the time (s) since the last film was gone: what follows a wetting is fast at first.
_STEPS = ((0.0, 600.0), (2 * 3600.0, 1200.0), (4 * 3600.0, 1800.0), (8 * 3600.0, 3600.0))
#: Longest step (s) under a film that lasts.
_UNDER_FILM = 1800.0


@dataclass(frozen=True)
class Boards:
    """Boards side by side, one value each: basic density (kg/m3), thickness (m), moisture content throughout.

    ``cap`` is what wetting fills the wood to, ``depth`` (m) how far in; ``film`` (kg/m2) what stays on top. At the
    start the outer ``skin_depth`` may be wetter, at ``skin``. ``factor`` multiplies the diffusivity.
    """

    basic_density: Array
    thickness: Array
    start: Array
    cap: Array
    depth: Array
    film: Array
    skin: Array
    skin_depth: Array
    factor: Array

    def __len__(self) -> int:
        return len(self.basic_density)


@dataclass(frozen=True)
class Course:
    """What became of the boards: rows are the times between steps, the start first, columns boards.

    Where water comes at the beginning of a step, the row of that time is just after it soaked in.
    ``outer`` is the mean moisture of the outer layer asked for, ``whole`` that of the board, ``film`` the water on top
    (kg/m2). ``added`` is the water that went into wood and film, ``evaporated`` what left them (kg/m2).
    """

    step: float
    outer: Array
    whole: Array
    film: Array
    added: Array
    evaporated: Array


@dataclass
class _State:
    """What changes from step to step. ``surface`` is the moisture at both very faces, the last step's end."""

    moisture: Array
    film: Array
    surface: Array
    added: Array
    evaporated: Array
    dry_for: float


def dry(
    boards: Boards,
    air: Air,
    *,
    outer: float | Array,
    cells: int = CELLS,
    growth: float = GROWTH,
    column: NDArray[np.intp] | None = None,
) -> Course:
    """Return how the boards fare in this weather; ``outer`` is the depth (m) whose mean is followed.

    ``column`` says which column of the air each board lies in; left out, each has its own or all share one.
    """
    grid = _Grid(boards, outer, cells, growth)
    faces = air.faces() if column is None else air.faces().over(column)
    state = grid.begin()
    rows = np.empty((3, len(air) + 1, len(boards)))
    grid.observe(state, rows[:, 0])
    for step in range(len(air)):
        water = faces.water[step]
        if water is not None:
            grid.wet(state, water)
            grid.observe(state, rows[:, step])
        parts = math.ceil(air.step / grid.longest(state, faces, step, air.step))
        for _ in range(parts):
            grid.advance(state, faces, step, air.step / parts)
        grid.observe(state, rows[:, step + 1])
    return Course(air.step, rows[0], rows[1], rows[2], state.added, state.evaporated)


class _Grid:
    """The cells of all boards, and what one step does to them. Arrays are boards by cells, or boards by both faces."""

    def __init__(self, boards: Boards, outer: float | Array, cells: int, growth: float) -> None:
        half = growth ** np.arange(cells // 2)
        share = np.concatenate((half, half[::-1])) / half.sum() / 2
        self.boards = boards
        self.size = share * boards.thickness[:, None]
        self.left = np.cumsum(self.size, axis=1) - self.size
        self.density = boards.basic_density[:, None]
        self.mass = self.density * self.size
        self.ends = slice(None, None, cells - 1)
        gravity = self.density / 1000
        self.half = self.size / 2 / boards.factor[:, None] * gravity
        self.gravity = gravity
        # Very dense wood has no pores left before its cell walls are full.
        self.full = np.minimum(FULL, 0.999 / gravity - diffusion.WALL)
        outer_share = self._within(np.minimum(outer, boards.thickness)) * self.size
        self.outer = outer_share / outer_share.sum(axis=1, keepdims=True)
        self.whole = self.size / boards.thickness[:, None]
        wetted = self._within(boards.depth)
        self.wetted = wetted * boards.cap[:, None] + (1 - wetted) * boards.start[:, None]
        self.system = Tridiagonal(len(boards), cells)

    def _within(self, depth: Array) -> Array:
        """Return the share of each cell that lies above a depth."""
        share: Array = np.clip((depth[:, None] - self.left) / self.size, 0.0, 1.0)
        return share

    def begin(self) -> _State:
        """Return the boards as they are at the start."""
        boards, count = self.boards, len(self.boards)
        skin = self._within(boards.skin_depth)
        moisture = skin * boards.skin[:, None] + (1 - skin) * boards.start[:, None]
        # A skin wetter than the core evens out fast at first, as after a wetting.
        dry_for = 1.0 if (boards.skin_depth > 0).any() else math.inf
        return _State(moisture, np.zeros(count), moisture[:, self.ends], np.zeros(count), np.zeros(count), dry_for)

    def wet(self, state: _State, water: Array) -> None:
        """Let water on top soak in as far as it reaches, fill the film with the rest, and run off."""
        reached = water > 0
        supply = np.where(reached, water + state.film, 0.0)
        room = np.maximum(self.wetted - state.moisture, 0.0) * self.mass
        above = np.cumsum(room, axis=1) - room
        soaked = np.clip(supply[:, None] - above, 0.0, room)
        inside = soaked.sum(axis=1)
        film = np.where(reached, np.minimum(supply - inside, np.maximum(self.boards.film, state.film)), state.film)
        state.added += inside + film - state.film
        state.moisture = state.moisture + soaked / self.mass
        state.film = film
        state.dry_for = 0.0

    def longest(self, state: _State, faces: Faces, step: int, seconds: float) -> float:
        """Return the longest step that follows what happens now; under a film that outlasts it little does."""
        if state.dry_for == 0.0:
            lasting = state.film - faces.film_loss[step] * seconds
            if (lasting[state.film > 0] > 0).all():
                return _UNDER_FILM
        return next(limit for since, limit in reversed(_STEPS) if state.dry_for >= since)

    def advance(self, state: _State, faces: Faces, step: int, seconds: float) -> None:
        """Take one implicit step: diffusivities and the sorption curve's slope are those of its beginning."""
        settled, moisture = faces.settled[step], state.moisture
        bound = np.minimum(moisture, self.full)
        wall = bound + diffusion.WALL
        resistance = self.half * wall * (1 - np.sqrt(1 - self.gravity * wall)) * np.exp(faces.slowing[step] * bound)
        resistance /= faces.fastest[step]
        off = state.surface - settled
        off = np.copysign(np.maximum(np.abs(off), 1e-6), off)
        slope = (humidity_of((settled + off) / faces.full[step]) - faces.humidity[step]) / off
        outside = faces.exchange[step] * np.maximum(slope, 1e-9)
        conductance = 1 / (resistance[:, self.ends] / self.density + 1 / outside)
        wet = self._film(state, faces, step, seconds)
        if wet is not None:
            settled = np.array(np.broadcast_to(settled, moisture[:, self.ends].shape))
            settled[:, 0][wet] = self.full[wet, 0]
            conductance[:, 0][wet] = self._soaking(state, resistance, seconds)[wet]
        capacity = self.mass / seconds
        self.system.set(capacity, self.density / (resistance[:, :-1] + resistance[:, 1:]))
        right = capacity * moisture
        self.system.diagonal[:, self.ends] += conductance
        right[:, self.ends] += conductance * settled
        state.moisture = self.system.solve(right)
        flux = conductance * (state.moisture[:, self.ends] - settled)
        state.surface = settled + flux / outside
        if wet is not None:
            state.surface[:, 0][wet] = state.moisture[:, 0][wet]
            state.film = np.where(wet, state.film + flux[:, 0] * seconds, state.film)
            flux[:, 0][wet] = 0.0
        state.evaporated += (flux[:, 0] + flux[:, 1]) * seconds

    def _soaking(self, state: _State, resistance: Array, seconds: float) -> Array:
        """Return the conductance from the film, which fills the face, into the wood: never more than lies on top.

        Wood that wetting filled beyond that takes none.
        """
        full = self.full[:, 0]
        conductance = np.minimum(self.density[:, 0] / resistance[:, 0], state.film / (full * seconds))
        return np.where(state.moisture[:, 0] < full, conductance, 0.0)

    def _film(self, state: _State, faces: Faces, step: int, seconds: float) -> NDArray[np.bool_] | None:
        """Let the film evaporate, or dew add to it; return which boards it lies on, None if none."""
        if state.dry_for > 0 and not faces.dew[step]:
            state.dry_for += seconds
            return None
        loss = faces.film_loss[step] * seconds
        left = np.clip(state.film - loss, 0.0, np.maximum(self.boards.film, state.film))
        change = left - state.film
        state.added += np.maximum(change, 0.0)
        state.evaporated += np.maximum(-change, 0.0)
        wet: NDArray[np.bool_] = state.film > 0
        state.film = left
        state.dry_for = 0.0 if wet.any() else state.dry_for + seconds
        return wet

    def observe(self, state: _State, row: Array) -> None:
        """Write down the mean of the outer layer, the mean of the board, and the film."""
        np.einsum("ij,ij->i", state.moisture, self.outer, out=row[0])
        np.einsum("ij,ij->i", state.moisture, self.whole, out=row[1])
        row[2] = state.film
