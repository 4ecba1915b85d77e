"""The parameters of all operations, each written once under components and referred to where it is taken."""

from __future__ import annotations

from latewood_api.contract_parts import Json, option, parameters


class Parameters:
    """Collects parameters by name; one that another operation has under the same name, but not alike, is prefixed.

    Rows, cells and tables of one calculator take the same names, and many calculators ask the same of a job.
    """

    def __init__(self) -> None:
        self.found: dict[str, Json] = parameters()
        self._keys = {name: [name] for name in self.found}

    def put(self, owner: str, parameter: Json) -> Json:
        """Keep a parameter and return the reference to it; the owner is the calculator that asks it."""
        name = str(parameter["name"])
        alike = (key for key in self._keys.get(name, ()) if self.found[key] == parameter)
        if (known := next(alike, None)) is not None:
            return option(known)
        key = name if name not in self.found else f"{owner}.{name}"
        if key in self.found:
            raise ValueError(f"two parameters of {owner} are named {name}")
        self.found[key] = parameter
        self._keys.setdefault(name, []).append(key)
        return option(key)

    def of(self, reference: Json) -> Json:
        """Return what a reference stands for."""
        return self.found[reference["$ref"].rpartition("/")[2]]
