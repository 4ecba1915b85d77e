"""How much is laid on each face and drawn from the containers, and how thick a film-former lies."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeVar

from latewood.calculators.coverage.fields import CoatVolume, PartVolume, ZoneVolume
from latewood.calculators.coverage.resolved import FaceGroup, Key, Resolved, ResolvedFace
from latewood.formulas import film, spreading
from latewood.provenance import Ledger
from latewood.uncertainty import spread
from latewood.uncertainty.spread import Number

Name = TypeVar("Name", bound=str)

#: Takes the steps that repeat, for a coat, zone or part, what the working shows of the whole.
_UNWRITTEN = Ledger("coverage")


@dataclass(frozen=True)
class Laid:
    """What every coat lays on the faces of one group."""

    group: FaceGroup
    volumes: tuple[Number, ...]

    @property
    def applied(self) -> Number:
        """The volume laid on by all coats."""
        return spread.total(self.volumes)


def lay(r: Resolved, ledger: Ledger) -> tuple[Laid, ...]:
    """Return what every coat lays on each group of faces."""
    return tuple(_lay(group, r, ledger) for group in r.groups)


def _lay(group: FaceGroup, r: Resolved, ledger: Ledger) -> Laid:
    face, rate = group.face, group.rate
    wood = f"{face.surface}, {face.absorbency}"
    about = f"{wood} absorbency" + ("" if face.pairing is None else f", {face.pairing.title}")
    if group.by_film:
        solids = _solids_as_used(r, ledger)
        rate = ledger.step(film.rate_from_film, volume_solids=solids, dry_film_thickness=rate)
    elif group.woods:
        rate = ledger.step(spreading.rate_on_other_wood, wood, spreading_rate=rate, **group.woods)
    # A rate of what is retained leaves out what is wiped off.
    if group.basis != "applied" and (isinstance(group.wiped, spread.Uncertain) or group.wiped != 0):
        rate = ledger.step(spreading.rate_as_applied, retained_rate=rate, wiped_off=group.wiped)
    if face.changed:
        rate = ledger.step(spreading.rate_at_uptake, about, spreading_rate=rate, uptake=face.uptake)
    volumes: list[Number] = []
    for coat in range(1, r.coats + 1):
        on, way = f"{about}, coat {coat}", rate if r.model is None else r.model(rate=rate, coat=coat, roughness=0.0)
        if coat == 1 or group.later is None:
            volumes.append(ledger.step(spreading.volume_laid_on, on, area=group.area, spreading_rate=way))
        else:
            first = spreading.volume_laid_on(area=group.area, spreading_rate=way)
            volumes.append(ledger.step(spreading.later_coat_volume, on, first_coat=first, share=group.later))
    return Laid(group, tuple(volumes))


def _solids_as_used(r: Resolved, ledger: Ledger) -> Number:
    """Return the volume solids of the product as it is laid on, thinned or not."""
    solids = r.product.volume_solids
    if solids is None:
        raise ValueError("the data sheet states no volume solids")
    if not r.product.thinning:
        return solids
    return ledger.step(film.thinned_solids, volume_solids=solids, thinning=r.product.thinning)


def parted(laid: Sequence[Laid], ledger: Ledger) -> tuple[Number, Number]:
    """Return what is wiped off again, and what stays."""
    sums = (
        [ledger.step(formula, applied=one.applied, wiped_off=one.group.wiped) for one in laid]
        for formula in (spreading.volume_wiped_off, spreading.volume_retained)
    )
    wiped, retained = (spread.total(volumes) for volumes in sums)
    return wiped, retained


def ready(r: Resolved, laid_on: Number, ledger: Ledger = _UNWRITTEN) -> Number:
    """Return the volume ready to use, thinned or not, that must be drawn."""
    if not isinstance(r.loss, spread.Uncertain) and r.loss == 0:
        return laid_on
    return ledger.step(r.convention, laid_on=laid_on, loss=r.loss)


def drawn(r: Resolved, laid_on: Number, ledger: Ledger = _UNWRITTEN) -> Number:
    """Return the volume that comes from the containers; thinner comes from elsewhere."""
    mixture, thinning = ready(r, laid_on, ledger), r.product.thinning
    return ledger.step(film.volume_before_thinning, mixture=mixture, thinning=thinning) if thinning else mixture


def by_coat(r: Resolved, laid: Sequence[Laid], ledger: Ledger) -> tuple[CoatVolume, ...]:
    """Return the volume drawn for each coat, and how far it goes over all faces."""
    area = sum(one.group.area for one in laid)
    rows = []
    for index in range(r.coats) if laid else ():
        volume = spread.total([one.volumes[index] for one in laid])
        rate = ledger.step(spreading.overall_spreading_rate, f"coat {index + 1}", area=area, volume=volume)
        rows.append(CoatVolume(id=str(index + 1), volume=drawn(r, volume), spreading_rate=rate))
    return tuple(rows)


def by_zone(r: Resolved, laid: Sequence[Laid]) -> tuple[ZoneVolume, ...]:
    """Return the volume drawn for each zone."""
    return tuple(ZoneVolume(id=id, area=area, volume=v) for id, area, v in _shares(r, laid, lambda face: face.zone))


def by_part(r: Resolved, laid: Sequence[Laid]) -> tuple[PartVolume, ...]:
    """Return the volume drawn for each part of the deck."""
    return tuple(PartVolume(id=id, area=area, volume=v) for id, area, v in _shares(r, laid, lambda face: face.part))


def _shares(
    r: Resolved, laid: Sequence[Laid], name: Callable[[ResolvedFace], Name]
) -> list[tuple[Name, float, Number]]:
    """Share out each group by area, its faces taking the coating alike: return name, area and volume drawn."""
    by_key = {one.group.face.key: one for one in laid}
    areas: dict[Name, dict[Key, float]] = {}
    for face in r.faces:
        own = areas.setdefault(name(face), {})
        own[face.key] = own.get(face.key, 0.0) + face.area
    rows = []
    for id, own in areas.items():
        volumes = [by_key[key].applied * (area / by_key[key].group.area) for key, area in own.items() if key in by_key]
        rows.append((id, sum(own.values()), drawn(r, spread.total(volumes))))
    return rows


def films(r: Resolved, coats: Sequence[CoatVolume], ledger: Ledger) -> tuple[Number | None, Number | None]:
    """Return wet and dry film thickness of the first coat, each None where it cannot be said."""
    dry, known = r.product.dry_film_thickness, r.product.volume_solids is not None
    if not coats or not (r.film or known):
        return None, None
    if dry is not None:
        return ledger.step(film.wet_film_for, dry_film_thickness=dry, volume_solids=_solids_as_used(r, ledger)), dry
    wet = ledger.step(spreading.wet_film_thickness, spreading_rate=coats[0].spreading_rate)
    if not known:
        return wet, None
    return wet, ledger.step(film.dry_film_thickness, wet_film_thickness=wet, volume_solids=_solids_as_used(r, ledger))
