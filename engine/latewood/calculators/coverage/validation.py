"""What in coverage's inputs cannot be meant: every fault at once."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.coverage.fields import Product
from latewood.calculators.coverage.inputs import Inputs
from latewood.problems import Fault, InputProblem, conflict, missing
from latewood.rules import law
from latewood.rules.faces import out_of_reach


def check(x: Inputs) -> None:
    """Raise `InputProblem` with every fault between fields; each field by itself has been read already."""
    InputProblem.raise_any(fault for part in _PARTS for fault in part(x))


def _surfaces(x: Inputs) -> Iterator[Fault]:
    if (x.area is None) == (not x.faces):
        detail = "nothing to coat is given" if x.area is None else "one area and a list of faces are both given"
        yield conflict("/faces" if x.faces else "/area", detail, "either area or faces")


def _bare(x: Inputs) -> Iterator[Fault]:
    if x.coating.bare and x.product is not None:
        detail = f"{x.coating.title} puts nothing on the wood, so there is no product whose data sheet could hold"
        yield conflict("/product", detail, "no product, or another coating")


def _film(x: Inputs) -> Iterator[Fault]:
    if x.coating.bare:
        return
    product = x.product or Product()
    film = {"dry_film_thickness": product.dry_film_thickness, "volume_solids": product.volume_solids}
    given = [name for name, number in film.items() if number is not None]
    # An unknown coating may be a film-former: its data sheet knows better than the family does.
    if not x.coating.film and x.coating.binder != "unknown":
        for name in given:
            detail = f"{x.coating.title} soaks in: penetrating finishes build no film, so {name} says nothing here"
            yield conflict(f"/product/{name}", detail, "product.spreading_rate")
        return
    if product.spreading_rate is not None and product.dry_film_thickness is not None:
        detail = "a spreading rate and a film thickness are both given; each follows from the other"
        yield conflict("/product/dry_film_thickness", detail, "either spreading_rate or dry_film_thickness")
    elif product.dry_film_thickness is not None and product.volume_solids is None:
        detail = "a dry film thickness gives a spreading rate only with the volume solids"
        yield missing("/product/volume_solids", detail, "the solids by volume, such as 40 %")


def _uptake(x: Inputs) -> Iterator[Fault]:
    given = [] if x.uptake is None else [("/uptake", "sanded")]
    for index, face in enumerate(x.faces):
        if face.uptake is not None:
            usual = "weathered" if out_of_reach(face.part, face.side) else "sanded"
            given.append((f"/faces/{index}/uptake", face.surface or x.surface or usual))
    product = x.product or Product()
    for at, surface in given:
        if x.coating.bare or x.coating.film or product.dry_film_thickness is not None:
            what = "a film thickness is given, and a film lies on the wood"
            detail = f"{x.coating.title} does not soak in" if x.coating.bare or x.coating.film else what
            yield conflict(at, f"{detail}: an uptake says nothing here", "no uptake, or a penetrating finish")
        elif surface != "sanded":
            detail = f"the face is {surface}; how finely wood was sanded counts where it is sanded"
            yield conflict(at, detail, "surface = sanded, or no uptake")


def _carrier(x: Inputs) -> Iterator[Fault]:
    stated = None if x.product is None else x.product.carrier
    family = law.carrier_of(x.coating, None)
    if None not in (stated, family) and stated != family:
        detail = f"{x.coating.title} is always carried by {family}"
        yield conflict("/product/carrier", detail, f"{family}, or another coating")


def _voc(x: Inputs) -> Iterator[Fault]:
    product = x.product or Product()
    parts = {name: getattr(product, name) for name in ("water_content", "exempt_content")}
    if product.voc_content is None:
        for name, number in parts.items():
            if number:
                detail = f"{name} serves to find the VOC content less water and exempt compounds"
                yield missing("/product/voc_content", f"{detail}, and that content is not given", "such as 400 g/L")
                break
    if product.exempt_content and product.exempt_density is None:
        detail = "the volume of the exempt compounds follows from their density only"
        yield missing("/product/exempt_density", detail, "a density, such as 790 kg/m3")
        return
    # The lightest water a rule counts with leaves the least room.
    water = (product.water_content or 0.0) / (product.water_density or 995.0)
    exempt = (product.exempt_content or 0.0) / (product.exempt_density or 1.0)
    if water + exempt >= 1:
        detail = "water and exempt compounds fill the whole volume and leave none for the coating"
        yield conflict("/product/water_content", detail, "contents that leave room for solids and solvent")


def _containers(x: Inputs) -> Iterator[Fault]:
    prices = [container.price for container in x.containers]
    currencies = sorted({price.currency for price in prices if price is not None})
    for index, container in enumerate(x.containers):
        at = f"/containers/{index}"
        if container.fill is not None and container.fill > container.size * (1 + 1e-9):
            yield conflict(f"{at}/fill", "there is more in it than its size", "a fill no larger than the size")
        if (x.residue or 0.0) >= (container.fill or container.size):
            yield conflict("/residue", f"the residue is all that container {index} holds", "a smaller residue")
        if container.price is not None and not container.price.amount:
            detail = "a container that costs nothing would be bought without end; subtract it as on_hand"
            yield Fault(pointer=f"{at}/price", code="out-of-range", detail=detail, expected="a price above zero")
        if container.price is None and currencies:
            detail = "other containers have a price, so this one cannot be compared with them"
            yield missing(f"{at}/price", detail, "a price for every container, or for none")
    if len(currencies) > 1:
        detail = f"prices are in {' and '.join(currencies)}, which cannot be compared"
        yield conflict("/containers", detail, "prices in one currency")


_PARTS = (_surfaces, _bare, _film, _uptake, _carrier, _voc, _containers)
