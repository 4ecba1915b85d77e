"""How deep a surface must be sanded, how much a pass takes off, and what it leaves behind.

The aim is sound wood, not a flat floor: the ridge that stands up between earlywood and latewood, the layer that light
has changed, and then the scratches of each grade but the last. Pressure is in none of these formulas: pressing harder
barely raises the cut of an orbital sander and may stop its orbit.
"""

from __future__ import annotations

from typing import Annotated

import numpy as np

from latewood.declare import Symbol, formula
from latewood.uncertainty.spread import Number

_BELTS = "Applied Sciences 2021, 11(6), 2860"


@formula(
    symbols="h = e − l",
    source="Wood Handbook, FPL-GTR-190, Forest Products Laboratory 2010",
    where="ch. 16, Table 16-2: erosion of earlywood and of latewood",
    holds="bare wood; earlywood wears faster",
)
def ridge_height(
    earlywood: Annotated[Number, Symbol("e", "um")], latewood: Annotated[Number, Symbol("l", "um")]
) -> Annotated[Number, Symbol("h", "um")]:
    """Take what latewood has lost from what earlywood has lost: the ridge that stands up between them."""
    return earlywood - latewood


@formula(
    symbols="z = h + g + f",
    source="arithmetic: what lies above sound wood",
    holds="taking grey off, not making the floor flat",
)
def layer_depth(
    ridge: Annotated[Number, Symbol("h", "um")],
    changed: Annotated[Number, Symbol("g", "um")],
    film: Annotated[Number, Symbol("f", "um")],
) -> Annotated[Number, Symbol("z", "um")]:
    """Add the ridges, the layer that light has changed, and any film: how deep sound wood lies."""
    return ridge + changed + film


@formula(
    symbols="z_m = h·s + g + f",
    source="geometry: ridges fill only a share of the layer they stand in",
    holds="for passes, time and dust; fasteners go by the whole depth",
)
def mean_depth(
    ridge: Annotated[Number, Symbol("h", "um")],
    ridge_share: Annotated[Number, Symbol("s", "%")],
    changed: Annotated[Number, Symbol("g", "um")],
    film: Annotated[Number, Symbol("f", "um")],
) -> Annotated[Number, Symbol("z_m", "um")]:
    """Count ridges by the share of the surface they stand on: the wood to take off, as an even layer."""
    return ridge * ridge_share + changed + film


@formula(
    symbols="g = g_0·ρ_0/ρ",
    source="Kataoka, Kiguchi, Fujiwara and Evans 2005, Journal of Wood Science 51(5), 531",
    where="sugi and hinoki under xenon light: depth of photodegradation inversely proportional to density",
    holds="shown in two light softwoods; taken over to 1100 kg/m3, for erosion too falls with density",
)
def depth_at_density(
    depth: Annotated[Number, Symbol("g_0", "um")],
    density: Annotated[Number, Symbol("ρ", "kg/m3")],
    reference_density: Annotated[Number, Symbol("ρ_0", "kg/m3")],
) -> Annotated[Number, Symbol("g", "um")]:
    """Make a depth known for one density smaller in denser wood, and larger in lighter."""
    return depth * reference_density / density


@formula(
    symbols="s = k·d",
    source="judgement: a grain stands out of its bond by a third to a half of its size",
    where="scratches on wood are 0.15 to 0.35 of the grain size",
    holds="coated abrasive on wood",
)
def scratch_depth(
    grain_size: Annotated[Number, Symbol("d", "um")], share: Annotated[Number, Symbol("k", "%")]
) -> Annotated[Number, Symbol("s", "um")]:
    """Take a share of the grain size: the depth of the scratches a grade leaves, which the next has to take off."""
    return share * grain_size


@formula(
    symbols="c = (d/d_0)^n",
    source=_BELTS,
    where="mean times to sand through at P60, P120 and P180: n from 0.65 to 0.71 in softwood, 0.10 to 0.41 in hardwood",
    holds="P60 to P180; a belt at one pressure and speed, taken over for orbital sanders",
)
def relative_cut(
    grain_size: Annotated[float, Symbol("d", "um")],
    reference_size: Annotated[float, Symbol("d_0", "um")],
    exponent: Annotated[float, Symbol("n", "%")],
) -> Annotated[float, Symbol("c", "%")]:
    """Compare the cut of a grade with that of another: a power of the ratio of their grain sizes."""
    relative: float = (grain_size / reference_size) ** exponent
    return relative


@formula(symbols="n = ln(c)/ln(d/d_0)", source="the same power law, solved for its exponent", holds="two grades")
def cut_exponent(
    relative: Annotated[float, Symbol("c", "%")],
    grain_size: Annotated[float, Symbol("d", "um")],
    reference_size: Annotated[float, Symbol("d_0", "um")],
) -> Annotated[float, Symbol("n", "%")]:
    """Find the exponent from two grades measured on one wood."""
    exponent: float = np.log(relative) / np.log(grain_size / reference_size)
    return exponent


@formula(
    symbols="p = p_0·c·m·w",
    source="judgement: each influence by itself multiplies the cut",
    where="m is orbit times speed beside the reference: the abraded depth goes with the way the grain travels "
    "(Preston, Journal of the Society of Glass Technology 11, 1927)",
    holds="light pressure; no pressure stands in it",
)
def removal_per_pass(
    reference: Annotated[Number, Symbol("p_0", "um")],
    cut: Annotated[float, Symbol("c", "%")],
    machine: Annotated[Number, Symbol("m", "%")],
    wood: Annotated[Number, Symbol("w", "%")],
) -> Annotated[Number, Symbol("p", "um")]:
    """Multiply the reference removal by what grade, machine and wood make of it: the depth one pass takes off."""
    return reference * cut * machine * wood


@formula(
    symbols="m = (o/o_0)·(v/v_0)",
    source="Preston, Journal of the Society of Glass Technology 11, 1927",
    where="removal goes with pressure and relative speed; orbit times frequency is the speed of a grain",
    holds="one machine as its speed is turned, and machines of like build; pressure light in both",
)
def machine_cut(
    orbit: Annotated[Number, Symbol("o", "mm")],
    reference_orbit: Annotated[Number, Symbol("o_0", "mm")],
    speed: Annotated[Number, Symbol("v", "%")],
    reference_speed: Annotated[Number, Symbol("v_0", "%")],
) -> Annotated[Number, Symbol("m", "%")]:
    """Compare the way of a grain with that under the reference machine: the cut of another orbit and speed."""
    return orbit / reference_orbit * (speed / reference_speed)


@formula(symbols="N = z/p", source="arithmetic", holds="whole passes are sanded; the next whole number is taken")
def passes_needed(
    depth: Annotated[Number, Symbol("z", "um")], per_pass: Annotated[Number, Symbol("p", "um")]
) -> Annotated[Number, Symbol("N", "%")]:
    """Divide the depth by what one pass takes off: the number of passes, 250 % being two and a half."""
    return depth / per_pass


@formula(
    symbols="μ = z·ρ",
    source="arithmetic: mass is volume times density",
    where="0.3 mm of 500 kg/m3 makes 150 g/m2",
    holds="all that is taken off becomes dust; the abrasive's own is left out",
)
def dust_mass_per_area(
    depth: Annotated[Number, Symbol("z", "mm")], density: Annotated[Number, Symbol("ρ", "kg/m3")]
) -> Annotated[Number, Symbol("μ", "g/m2")]:
    """Multiply the depth taken off by the density of the wood: the dust made on each area."""
    return depth * density


@formula(
    symbols="U = 1 + k·(d − d_0)·r/2",
    source="geometry: a valley of triangular section holds half of its depth",
    where="on r as the spreading rate measured at grain size d_0",
    holds="penetrating finishes on sanded wood; what the pores take is left as it was",
)
def relative_uptake(
    grain_size: Annotated[float, Symbol("d", "um")],
    reference_size: Annotated[float, Symbol("d_0", "um")],
    scratch_share: Annotated[Number, Symbol("k", "%")],
    spreading_rate: Annotated[Number, Symbol("r", "m2/L")],
) -> Annotated[Number, Symbol("U", "%")]:
    """Add to the uptake, or take from it, what the valleys of another grade hold beside those of the reference."""
    return 1 + scratch_share * (grain_size - reference_size) * spreading_rate / 2


@formula(
    symbols="E = 1 + a·(U − 1)",
    source="Wood Handbook, FPL-GTR-190, Forest Products Laboratory 2010",
    where="ch. 16: on rough wood stain takes twice the volume and lasts two to three times as long; so a is 1 to 2",
    holds="small changes of uptake; an interpolation between two published points",
)
def relative_life(
    uptake: Annotated[Number, Symbol("U", "%")], gain: Annotated[Number, Symbol("a", "%")]
) -> Annotated[Number, Symbol("E", "%")]:
    """Let the life of a penetrating finish follow its uptake, along the line of what is published."""
    return 1 + gain * (uptake - 1)
