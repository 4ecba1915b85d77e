"""One running engine: what it knows, and what it answers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property, partial
from importlib.metadata import EntryPoint, version
from typing import Any, Final

from latewood import plan, report, trial
from latewood.answer_objects import Answer, Plan
from latewood.answers import answer
from latewood.calls import Calls
from latewood.columns import Answerer, Choices, Form, Table
from latewood.declare import Calculator
from latewood.listing import calculator_item, formulas_of, list_items, record_item, search_items
from latewood.messages import Speaker, not_found, refusing_in
from latewood.plugin.loader import installed
from latewood.problems import InputProblem
from latewood.registry import Registry
from latewood.undisturbed import undisturbed
from latewood.wire import Context, Options, flat, outputs, struct_reader
from latewood.wire.options import CHOICES, OF_PYTHON, System, unknown_choice, unknown_parameters

#: Version of the HTTP contract; only additive change raises its second number.
CONTRACT: Final = "1.1"
#: What can be listed beside records.
OWN_KINDS: Final = ("calculators", "formulas", "messages", "models", "plugins")


class Catalogue(Calls):
    """What this engine knows. Nothing in it changes after loading, so it may be shared between threads."""

    def __init__(self, shelf: Registry, made_from: str | None = None) -> None:
        self.shelf = shelf
        #: What all of it depends on, where it is what is installed: as long as this is the same, so is the rest.
        self.made_from = made_from
        self.calculators = shelf.calculators

    def calculate(self, name: str, /, *, options: Options | None = None, **given: Any) -> Answer:
        """Return the answer of a calculator; fields are given as a request gives them, and so are units, lang, working.

        A quantity may be one of pint too, of any registry. Each calculator is a method as well: ``lw.coverage(...)``.
        """
        chosen = options or self._options(given)
        return Answer(self.answer(name, given, chosen), self.speaker(chosen))

    def answer(self, name: str, raw: object, options: Options) -> dict[str, Any]:
        """Return the answer to a decoded JSON request; raise `InputProblem` with every fault, or `NotFound`."""
        calculator = self.calculator(name)
        return self._read_and_run(calculator, raw, Context(self.shelf, decimal=options.decimal), options)

    def answer_flat(self, name: str, pairs: Sequence[tuple[str, str]], options: Options) -> dict[str, Any]:
        """Return the answer to a request in flat form."""
        calculator = self.calculator(name)
        ctx = Context(self.shelf, decimal=options.decimal, textual=True)
        raw = flat.tree(pairs, struct_reader(calculator.inputs), ctx.faults)
        return self._read_and_run(calculator, raw, ctx, options)

    def cell(self, name: str, output: str, pairs: Sequence[tuple[str, str]], options: Options) -> str:
        """Return one output of a calculator as text."""
        outputs.check_declared(self.calculator(name).result, output)
        answer = self.answer_flat(name, pairs, options)
        return outputs.text_of(answer["result"], output, options.decimal)

    def table(self, name: str, choices: Choices) -> Table:
        """Return a table to be fed with CSV; raise `NotFound`, or `InputProblem` for outputs there are not."""
        return Table(self.calculator(name), self.shelf, choices)

    def answerer(self, form: Form) -> Answerer:
        """Return what answers rows of tables of this form."""
        return Answerer(self.calculator(form.calculator), self.shelf, form)

    def plan(self, raw: object, options: Options | None = None, **chosen: Any) -> Plan:
        """Return the plan of a job; options may be given by name."""
        options = self._options_only(options, chosen)
        with refusing_in(self.speaker(options)):
            made = plan.run(self, raw, options)
        return Plan(made, self.speaker(options.or_units(made["job"]["units"]).or_lang(made["job"]["language"])))

    def plan_text(
        self, raw: object, options: Options | None = None, *, width: int = 80, full: bool = False, **chosen: Any
    ) -> str:
        """Return the report of a plan as text for people: short enough to read, or in full."""
        layout, faults = report.Layout.read(_texts({"width": width, "full": full}))
        if faults:
            raise InputProblem(faults)
        made = self.plan(raw, self._options_only(options, chosen, beside=layout._fields))
        return report.text(report.report(made, made.speaker), made.speaker, **layout._asdict())

    def plan_svg(self, raw: object, options: Options | None = None, **chosen: Any) -> str:
        """Return a picture of a job's zones, boards and edge work as SVG."""
        options = self._options_only(options, chosen)
        with refusing_in(self.speaker(options)):
            return plan.draw(self, raw, options)

    def _options(self, given: dict[str, Any]) -> Options:
        """Take the options out of what was given by name."""
        chosen: dict[str, Any] = {name: given.pop(name) for name in OF_PYTHON if name in given}
        return Options.split(_texts(chosen), self.languages)[0]

    def _options_only(self, options: Options | None, given: dict[str, Any], beside: Sequence[str] = ()) -> Options:
        """Return the options, which come whole or by name; raise `InputProblem` for any other name."""
        chosen = options or self._options(given)
        if given:
            raise InputProblem(unknown_parameters(given, beside if options else (*OF_PYTHON, *beside)))
        return chosen

    def calculator(self, name: str) -> Calculator:
        """Return a calculator; raise `NotFound` with the nearest name."""
        if name not in self.calculators:
            raise not_found("calculator", name, self.calculators, self.shelf.missing_because("calculators", name))
        return self.calculators[name]

    def _read_and_run(self, calculator: Calculator, raw: object, ctx: Context, options: Options) -> dict[str, Any]:
        with refusing_in(self.speaker(options)):
            return answer(calculator, raw, ctx, options, self.shelf) | {"computed_with": self.computed_with}

    def speaker(self, options: Options) -> Speaker:
        """Return what writes texts as they are asked for; raise `InputProblem` for a language there is not."""
        if options.style.lang not in self.languages:
            raise InputProblem([unknown_choice("lang", options.style.lang, self.languages)])
        return self.shelf.texts.speaker(options.style)

    @property
    def languages(self) -> tuple[str, ...]:
        """Languages that texts can be asked in."""
        return tuple(self.shelf.texts.packs)

    @cached_property
    def computed_with(self) -> dict[str, Any]:
        """Versions of all that takes part in an answer, and a digest of the records."""
        return {
            "engine": version("latewood"),
            "contract": CONTRACT,
            "plugins": {p.name: p.version for p in self.shelf.plugins if p.error is None},
            "catalogue": self.shelf.digest(),
        }

    def kinds(self) -> list[str]:
        """Return everything that can be listed."""
        return [*self.shelf.kinds(), *OWN_KINDS]

    def counts(self, options: Options | None = None) -> dict[str, Any]:
        """Return everything that can be listed, with its title and how much there is of it."""
        titled = partial(self.speaker(options or Options()).word, "catalogue")
        entries = [{"id": kind, "title": titled(kind), "count": self.items(kind)["count"]} for kind in self.kinds()]
        return {"items": entries, "count": len(entries)}

    def items(self, kind: str, search: str | None = None) -> dict[str, Any]:
        """Return the list of a kind, or what of it goes by a name; raise `NotFound` for an unknown kind."""
        if kind not in self.kinds():
            raise not_found("kind", kind, self.kinds())
        return list_items(self.shelf, kind) if search is None else search_items(self.shelf, kind, search)

    def item(self, kind: str, id: str, system: System = "metric") -> dict[str, Any]:
        """Return one entry of a kind whole; the numbers of a record come in the units of the system."""
        if system not in CHOICES["units"]:
            raise InputProblem([unknown_choice("system", str(system), CHOICES["units"])])
        listed = [entry["id"] for entry in self.items(kind)["items"]]
        if id not in listed:
            what = kind.removesuffix("s") if kind in OWN_KINDS else kind
            raise not_found(what, id, listed, self.shelf.missing_because(kind, id))
        if kind == "calculators":
            return calculator_item(self.shelf.calculators[id])
        if kind in ("formulas", "messages", "models", "plugins"):
            return next(entry for entry in list_items(self.shelf, kind, whole=True)["items"] if entry["id"] == id)
        return record_item(self.shelf, kind, id, system)

    def formulas(self) -> dict[str, Any]:
        """Return every formula by id."""
        return formulas_of(self.shelf)

    def health(self) -> dict[str, Any]:
        """Say whether the engine is ready, and name each plugin that was left out."""
        return {"status": "ready", "plugins": list_items(self.shelf, "plugins", whole=True)["items"]}


def _texts(given: Mapping[str, object]) -> list[tuple[str, str]]:
    """Return what was given by name as a query would have it."""
    return [(name, str(value).lower() if isinstance(value, bool) else str(value)) for name, value in given.items()]


def load(entries: Iterable[EntryPoint] | None = None, *, strict: bool = False) -> Catalogue:
    """Load every installed plugin and return the engine; ``strict`` raises where one would be left out.

    What is installed is tried in a process of its own first; plugins that are handed in are tried in this one.
    """
    with undisturbed():
        if entries is not None:
            return Catalogue(Registry.fill(entries, strict=strict))
        found = installed()
        made_from = trial.made_from(found)
        shelf = Registry.fill(found, strict=strict, outcomes=trial.outcomes(found, made_from))
        return Catalogue(shelf, made_from)
