"""Fascia, skirting, lattice, benches and posts."""

from __future__ import annotations

from typing import Annotated

import msgspec

from latewood.calculators.area.components import ExtraShape
from latewood.calculators.area.defaults import Defaults
from latewood.calculators.area.labour import Measured
from latewood.declare import F, Q
from latewood.formulas import lattice as geometry
from latewood.problems import Fault
from latewood.quantities import lumber
from latewood.rules.faces import Part
from latewood.uncertainty import spread

#: What has to be known of each part; one of the names joined by "or".
NEEDED: dict[str, tuple[tuple[str, ...], ...]] = {
    "fascia": (("length",), ("height", "size")),
    "skirting": (("length",), ("height",)),
    "lattice": (("length",), ("height",)),
    "bench": (("length",), ("width",)),
    "post": (("height",),),
}
#: What else may be said of each part.
USED: dict[str, tuple[str, ...]] = {
    "fascia": ("thickness",),
    "skirting": ("slat_width", "opening", "thickness", "sides"),
    "lattice": ("slat_width", "opening", "thickness"),
    "bench": ("thickness",),
    "post": ("size",),
}
SIZES = ("length", "height", "width", "thickness", "slat_width", "opening", "size", "sides")
#: Slats between the open and the tight lattice on sale; judgement.
SLAT = {"slat_width": (0.038, "38 mm"), "opening": (0.044, "44 mm"), "thickness": (0.006, "6 mm")}
#: A board or picket of nominal 1 in, PS 20; a bench or fascia of nominal 2 in.
ONE_INCH, TWO_INCH = 0.01905, 0.0381


class ExtraArea(msgspec.Struct, frozen=True, kw_only=True):
    """One extra of the answer."""

    id: Annotated[str, F("Name of the extra")]
    zone: Annotated[str, F("Zone it belongs to")]
    part: Annotated[Part, F("What it is")]
    area: Annotated[float, Q("m2", "Area of material")]
    factor: Annotated[float, Q("%", "Material over the overall area of one side, of open work")] | None = None


def check_extra(x: ExtraShape, at: str) -> list[Fault]:
    """Return what is missing for an extra of its part, or given and of no use to it."""
    given = [name for name in SIZES if getattr(x, name) is not None]
    if x.area is not None:
        why = "the area is given, so {} says nothing"
        return [_unused(name, why, at) for name in given if name != "length"]
    taken = [*USED[x.part], *(name for names in NEEDED[x.part] for name in names)]
    faults = [_unused(name, f"a {x.part} is not measured by its {{}}", at) for name in given if name not in taken]
    if x.part == "skirting" and x.sides is not None and x.opening:
        faults.append(_unused("sides", "open skirting is coated all round, so {} says nothing", at))
    for names in NEEDED[x.part]:
        if all(getattr(x, name) is None for name in names):
            words = " or ".join(names)
            detail = f"a {x.part} is measured by its {words}"
            faults.append(Fault(pointer=f"{at}/{names[0]}", code="missing", detail=detail, expected=words))
    if x.opening is not None and x.slat_width is None:
        detail = "an opening between slats says nothing without their width"
        faults.append(Fault(pointer=f"{at}/slat_width", code="missing", detail=detail, expected="a width"))
    return faults


def _unused(name: str, why: str, at: str) -> Fault:
    return Fault(pointer=f"{at}/{name}", code="conflict", detail=why.format(name))


def extra(x: ExtraShape, zone: str, at: str, defaults: Defaults) -> tuple[ExtraArea, list[Measured]]:
    """Return one extra as measured, the underside of a bench apart."""
    if x.area is not None:
        area, factor, side, width = x.area, None, None, None
    else:
        area, factor, side, width = _MEASURE[x.part](x, at, defaults)
    area, side = area * x.count, None if side is None else side * x.count
    length = None if x.length is None else x.length * x.count
    # A bench seat is as large below as above.
    below = side if x.part == "bench" and side is not None else 0.0
    face = Measured(zone, x.part, area - below, x.id, one_side=side, width=width, length=length, count=x.count)
    under = Measured(zone, x.part, below, x.id, one_side=0.0, side="underside")
    return ExtraArea(id=x.id, zone=zone, part=x.part, area=area, factor=factor), [face, under]


Found = tuple[float, float | None, float | None, float | None]


def _fascia(x: ExtraShape, at: str, defaults: Defaults) -> Found:
    size = x.size
    height = x.height if x.height is not None else (size.width if size else 0.0)
    thickness = _thickness(x, size.thickness if size else None, TWO_INCH, "1-1/2 in", at, defaults)
    found = defaults.ledger.step(
        geometry.fascia_area, x.id, length=x.length or 0.0, board_width=height, thickness=thickness
    )
    return spread.central(found), None, (x.length or 0.0) * height, height


def _skirting(x: ExtraShape, at: str, defaults: Defaults) -> Found:
    side = (x.length or 0.0) * (x.height or 0.0)
    if x.slat_width is None or not x.opening:
        if x.sides is None:
            defaults.take(at, "sides", "1", effect=1.0, why="the back of closed skirting is out of reach")
        return side * (x.sides or 1), None, side, None
    thickness = _thickness(x, None, ONE_INCH, "3/4 in", at, defaults)
    factor = defaults.ledger.step(
        geometry.slat_factor, x.id, slat_width=x.slat_width, opening=x.opening, slat_thickness=thickness
    )
    return _open_work(x, spread.central(factor), defaults)


def _lattice(x: ExtraShape, at: str, defaults: Defaults) -> Found:
    sizes = {}
    for name, (usual, text) in SLAT.items():
        given = getattr(x, name)
        if given is None:
            effect = 0.01 if name == "thickness" else 0.2
            defaults.take(at, name, text, effect=effect, why="judgement; measure a slat")
        sizes[name] = usual if given is None else given
    factor = defaults.ledger.step(
        geometry.lattice_factor,
        x.id,
        slat_width=sizes["slat_width"],
        opening=sizes["opening"],
        slat_thickness=sizes["thickness"],
    )
    return _open_work(x, spread.central(factor), defaults)


def _open_work(x: ExtraShape, factor: float, defaults: Defaults) -> Found:
    length, height = x.length or 0.0, x.height or 0.0
    found = defaults.ledger.step(geometry.open_work_area, x.id, factor=factor, length=length, height=height)
    return spread.central(found), factor, length * height, None


def _bench(x: ExtraShape, at: str, defaults: Defaults) -> Found:
    thickness = _thickness(x, None, TWO_INCH, "1-1/2 in", at, defaults)
    found = defaults.ledger.step(
        geometry.bench_area, x.id, length=x.length or 0.0, depth=x.width or 0.0, thickness=thickness
    )
    return spread.central(found), None, (x.length or 0.0) * (x.width or 0.0), None


def _post(x: ExtraShape, at: str, defaults: Defaults) -> Found:
    size = x.size
    if size is None:
        defaults.take(at, "size", "4x4", effect=0.57, why="the usual guard post; PS 20")
        size = lumber.read_nominal("4x4")
    height = x.height or 0.0
    found = defaults.ledger.step(
        geometry.post_area, x.id, post_width=size.thickness, post_depth=size.width, height=height
    )
    return spread.central(found), None, size.width * height, None


def _thickness(x: ExtraShape, of_size: float | None, usual: float, text: str, at: str, defaults: Defaults) -> float:
    given = x.thickness if x.thickness is not None else of_size
    if given is None:
        defaults.take(at, "thickness", text, effect=0.08, why="nominal lumber, PS 20")
    return usual if given is None else given


_MEASURE = {"fascia": _fascia, "skirting": _skirting, "lattice": _lattice, "bench": _bench, "post": _post}
