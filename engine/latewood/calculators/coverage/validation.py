"""What in coverage's inputs cannot be meant: every fault at once."""

from __future__ import annotations

from collections.abc import Iterator

from latewood.calculators.coverage.fields import Product
from latewood.calculators.coverage.inputs import Inputs
from latewood.messages import Code, Count, Titled, Word, refusal
from latewood.problems import Fault, InputProblem
from latewood.rules import law
from latewood.rules.faces import out_of_reach


def check(x: Inputs) -> None:
    """Raise `InputProblem` with every fault between fields; each field by itself has been read already."""
    InputProblem.raise_any(fault for part in _PARTS for fault in part(x))


def _surfaces(x: Inputs) -> Iterator[Fault]:
    if (x.area is None) == (not x.faces):
        id = "nothing-to-coat" if x.area is None else "area-and-faces"
        yield refusal(id, "/faces" if x.faces else "/area")


def _bare(x: Inputs) -> Iterator[Fault]:
    if x.coating.bare and x.product is not None:
        yield refusal("product-on-bare", "/product", coating=Titled(x.coating))


def _film(x: Inputs) -> Iterator[Fault]:
    if x.coating.bare:
        return
    product = x.product or Product()
    film = {"dry_film_thickness": product.dry_film_thickness, "volume_solids": product.volume_solids}
    given = [name for name, number in film.items() if number is not None]
    # An unknown coating may be a film-former: its data sheet knows better than the family does.
    if not x.coating.film and x.coating.binder != "unknown":
        for name in given:
            yield refusal("film-of-penetrating", f"/product/{name}", coating=Titled(x.coating), field=Code(name))
        return
    if product.spreading_rate is not None and product.dry_film_thickness is not None:
        yield refusal("rate-and-film", "/product/dry_film_thickness")
    elif product.dry_film_thickness is not None and product.volume_solids is None:
        yield refusal("film-without-solids", "/product/volume_solids")


def _uptake(x: Inputs) -> Iterator[Fault]:
    given = [] if x.uptake is None else [("/uptake", "sanded")]
    for index, face in enumerate(x.faces):
        if face.uptake is not None:
            usual = "weathered" if out_of_reach(face.part, face.side) else "sanded"
            given.append((f"/faces/{index}/uptake", face.surface or x.surface or usual))
    product = x.product or Product()
    for at, surface in given:
        if x.coating.bare or x.coating.film or product.dry_film_thickness is not None:
            if x.coating.bare or x.coating.film:
                yield refusal("uptake-of-film-former", at, coating=Titled(x.coating))
            else:
                yield refusal("uptake-and-film", at)
        elif surface != "sanded":
            yield refusal("uptake-unsanded", at, surface=Word("surface", surface))


def _carrier(x: Inputs) -> Iterator[Fault]:
    stated = None if x.product is None else x.product.carrier
    family = law.carrier_of(x.coating, None)
    if stated is not None and family is not None and stated != family:
        carrier = Word("carrier", family)
        yield refusal("carrier-of-family", "/product/carrier", coating=Titled(x.coating), carrier=carrier)


def _voc(x: Inputs) -> Iterator[Fault]:
    product = x.product or Product()
    parts = {name: getattr(product, name) for name in ("water_content", "exempt_content")}
    if product.voc_content is None:
        for name, number in parts.items():
            if number:
                yield refusal("part-without-voc-content", "/product/voc_content", field=Code(name))
                break
    if product.exempt_content and product.exempt_density is None:
        yield refusal("exempt-without-density", "/product/exempt_density")
        return
    # The lightest water a rule counts with leaves the least room.
    water = (product.water_content or 0.0) / (product.water_density or 995.0)
    exempt = (product.exempt_content or 0.0) / (product.exempt_density or 1.0)
    if water + exempt >= 1:
        yield refusal("no-room-for-coating", "/product/water_content")


def _containers(x: Inputs) -> Iterator[Fault]:
    prices = [container.price for container in x.containers]
    currencies = sorted({price.currency for price in prices if price is not None})
    for index, container in enumerate(x.containers):
        at = f"/containers/{index}"
        if container.fill is not None and container.fill > container.size * (1 + 1e-9):
            yield refusal("fill-over-size", f"{at}/fill")
        if (x.residue or 0.0) >= (container.fill or container.size):
            yield refusal("residue-is-container", "/residue", container=Count(index))
        if container.price is not None and not container.price.amount:
            yield refusal("price-zero", f"{at}/price")
        if container.price is None and currencies:
            yield refusal("price-missing", f"{at}/price")
    if len(currencies) > 1:
        yield refusal("several-currencies", "/containers", currencies=[Code(one) for one in currencies])


_PARTS = (_surfaces, _bare, _film, _uptake, _carrier, _voc, _containers)
