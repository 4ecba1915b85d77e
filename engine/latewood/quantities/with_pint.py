"""pint's quantities, taken from Python and given back; and its definitions, from which factors are generated.

Only this module imports pint, and only when it is asked for: pint takes as long to import as the whole engine.
"""

from __future__ import annotations

import inspect
import math
import re
import sys
from collections.abc import Callable, Iterator
from functools import cache, partial
from typing import TYPE_CHECKING, Any, TypeGuard

from latewood.quantities import factors
from latewood.quantities.spellings import DIMENSIONS

if TYPE_CHECKING:
    from pint import Quantity as Quantity
    from pint import UnitRegistry as UnitRegistry
    from pint.facets.plain import PlainQuantity as PlainQuantity

#: What numbers that pint keeps may raise when they are converted or compared.
_UNCONVERTED = (ArithmeticError, AttributeError, TypeError, ValueError)


def is_quantity(value: object) -> TypeGuard[PlainQuantity[Any]]:
    """Say whether this is a quantity of any of pint's registries; whoever has one has imported pint."""
    pint = sys.modules.get("pint")
    return pint is not None and isinstance(value, pint.facets.plain.PlainQuantity)


def measured(quantity: PlainQuantity[Any], dimension: str) -> tuple[Any, str]:
    """Return the number of a quantity, or its list of numbers, and their unit, spelt as `units.read` takes it.

    Where no unit of the dimension fits, the unit is of another dimension or unknown, and is refused as in a text.
    """
    registry: Any = quantity._REGISTRY
    numbers = _numbers(quantity.magnitude)
    unit = quantity.units
    for expression, text in _spelt(dimension):
        if _unit(registry, expression) == unit:
            return numbers, text
    root = _root(registry, unit)
    for expression, text in _spelt(dimension):
        target = _unit(registry, expression)
        if target is not None and _root(registry, target) == root:
            return _each(numbers, partial(_converted, registry, unit, target)), text
    return numbers, f"{unit:~}"


def quantity(numbers: Any, unit: str, registry: UnitRegistry[Any] | None = None) -> Quantity[Any]:
    """Return a number or an array of a unit as answers spell it, in this registry or else in pint's own."""
    import pint

    chosen: Any = registry or pint.application_registry
    made: Quantity[Any] = chosen.Quantity(numbers, _expressions()[unit])
    return made


def _spelt(dimension: str) -> Iterator[tuple[str, str]]:
    """Yield pint's expression and our spelling of every unit, those of this dimension first."""
    own = DIMENSIONS[dimension]
    for known in (own, *(other for other in DIMENSIONS.values() if other is not own)):
        for expression, texts in known.expressions.items():
            yield expression, texts[0]


@cache
def _expressions() -> dict[str, str]:
    return {text: expression for known in DIMENSIONS.values() for expression, (text, *_) in known.expressions.items()}


def _converted(registry: Any, unit: Any, target: Any, number: Any) -> Any:
    """Return a number in another unit; None, which is refused, for one that pint cannot convert."""
    try:
        return float(registry.Quantity(registry.non_int_type(number), unit).m_as(target))
    except _UNCONVERTED:
        return None


def _unit(registry: Any, expression: str) -> Any:
    """Return a unit of a registry, or None where it has none of that name."""
    try:
        return registry.Unit(expression)
    except _UNCONVERTED:
        return None


def _root(registry: Any, unit: Any) -> Any:
    # Not the dimensions: to pint an angle is a number, and 45 degrees would be 79 %.
    return registry.get_root_units(unit, check_nonmult=False)[1]


def _numbers(magnitude: Any) -> Any:
    """Return what pint keeps as plain numbers and lists; what is no real number stays, and is refused as such."""
    plain = magnitude.tolist() if hasattr(magnitude, "tolist") else magnitude
    return _each(plain, lambda n: n if isinstance(n, int) else float(n)) if _real(plain) else plain


def _real(plain: Any) -> bool:
    try:
        _each(plain, float)
    except _UNCONVERTED:
        return False
    return True


def _each(numbers: Any, convert: Callable[[Any], Any]) -> Any:
    return [_each(one, convert) for one in numbers] if isinstance(numbers, list) else convert(numbers)


def generate() -> str:
    """Return the text of `factors`, computed exactly with pint's definitions.

    Write it to another file and move that into place: a shell empties the target before this module can import it.
    """
    from fractions import Fraction

    import pint

    registry: Any = pint.UnitRegistry(non_int_type=Fraction, cache_folder=None)
    exact = 2**53
    lines = [_heading(pint.__version__)]
    for dimension in DIMENSIONS.values():
        lines.append(f'    "{dimension.id}": {{')
        for expression, texts in dimension.expressions.items():
            unit = registry.Unit(expression)
            zero, one = (registry.Quantity(Fraction(n), unit).to_base_units().magnitude for n in (0, 1))
            factor = Fraction(one) - Fraction(zero)
            bottom = math.lcm(factor.denominator, Fraction(zero).denominator)
            numbers = (factor * bottom, Fraction(zero) * bottom, Fraction(bottom))
            if max(numbers) >= exact:
                numbers = (Fraction(float(factor)), Fraction(0), Fraction(1))
            shown = ", ".join(repr(float(n)) for n in numbers)
            key = texts[0].replace('"', '\\"')
            lines.append(f'        "{key}": ({shown}),')
        lines.append("    },")
    return "\n".join([*lines, "}", ""])


def _heading(version: str) -> str:
    """Return what stands above the factors today, for another version of pint."""
    above = inspect.getsource(factors).partition("{\n")[0]
    return re.sub(r"(?<=pint )[0-9.]+[0-9]", version, above) + "{"


__all__ = ["generate", "is_quantity", "measured", "quantity"]

if __name__ == "__main__":
    print(generate(), end="")
