"""latewood: calculations for people who refinish weathered exterior wood decks."""

from latewood.undisturbed import undisturbed

with undisturbed():
    from latewood.catalogue import Catalogue, load
    from latewood.problems import InputProblem, NotFound

__all__ = ["Catalogue", "InputProblem", "NotFound", "load"]
