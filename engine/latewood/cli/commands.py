"""What each sub-command does with the engine."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Mapping
from contextlib import nullcontext
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import msgspec

from latewood.catalogue import Catalogue, load
from latewood.cli import workbook
from latewood.cli.screen import progress, screen
from latewood.cli.usage import REFUSED, ROWS_REFUSED, USAGE
from latewood.columns import Choices
from latewood.columns.files import convert, source_size, writing
from latewood.job_files import read_file, with_weather
from latewood.messages import Code, malformed
from latewood.plugin.loader import BadPlugin
from latewood.problems import Fault, InputProblem, Malformed, NotFound
from latewood.report import WIDTHS
from latewood.undisturbed import undisturbed
from latewood.weather.files import read_weather
from latewood.wire import Options

if TYPE_CHECKING:
    from rich.console import Console

#: The most columns of a plan that is read on a terminal.
_READABLE: Final = 100
#: Refusals of the call itself: a name in it that is none.
_MISNAMED: Final = frozenset({"no-such-field", "no-such-output", "no-such-parameter"})


def carry_out(chosen: argparse.Namespace) -> int:
    """Do what was asked for; return the exit code."""
    try:
        return _COMMANDS[chosen.command](chosen)
    except InputProblem as problem:
        _tell(*problem.faults)
        misnamed = any(fault.id in _MISNAMED for fault in problem.faults)
        return USAGE if misnamed and chosen.command in ("run", "table") else REFUSED
    except NotFound as problem:
        _tell(problem.fault)
        return USAGE
    except Malformed as problem:
        _tell(problem.fault)
        return REFUSED
    except BadPlugin as problem:
        print(problem, file=sys.stderr)
        return REFUSED


def _tell(*faults: Fault) -> None:
    print("\n".join(fault.line() for fault in faults), file=sys.stderr)


def _engine(chosen: argparse.Namespace) -> Catalogue:
    return load(strict=chosen.strict)


def _options(chosen: argparse.Namespace) -> Options:
    return Options(units=chosen.units, decimal=chosen.decimal, working=chosen.working, lang=chosen.lang)


def _print_json(value: Any) -> None:
    print(msgspec.json.format(msgspec.json.encode(value), indent=2).decode())


def _serve(chosen: argparse.Namespace) -> int:
    try:
        with undisturbed():
            from latewood_api.server import serve
    except ModuleNotFoundError as absent:
        print(f"{absent.name} is not installed; the server comes with: pip install 'latewood[api]'", file=sys.stderr)
        return REFUSED
    asked = ("workers", "budget", "notice", "within", "contact")
    given = {name: getattr(chosen, name) for name in asked if getattr(chosen, name) is not None}
    code: int = serve(chosen.host, chosen.port, strict=chosen.strict, **given)
    return code


def _run(chosen: argparse.Namespace) -> int:
    pairs = []
    for field in chosen.fields:
        name, equals, value = field.partition("=")
        if not equals:
            print(f"{field!r} is not name=value, such as area='400 ft2'", file=sys.stderr)
            return USAGE
        pairs.append((name, value))
    engine = _engine(chosen)
    options = _options(chosen)
    if chosen.output:
        print(engine.cell(chosen.calculator, chosen.output, pairs, options))
        return 0
    answer = engine.answer_flat(chosen.calculator, pairs, options)
    if console := screen(sys.stdout, chosen.format):
        from latewood.cli import pages

        pages.answered(console, engine.calculator(chosen.calculator).title, answer, engine.speaker(options))
    else:
        _print_json(answer)
    return 0


def _table(chosen: argparse.Namespace) -> int:
    names = ("units", "lang", "decimal", "delimiter", "unit_row", "outputs")
    said = [(name, getattr(chosen, name)) for name in names if getattr(chosen, name) is not None]
    engine = _engine(chosen)
    choices = Choices.read([*said, *(("carry", header) for header in chosen.carry)], engine.languages)
    source, target = (None if name == "-" else Path(name) for name in (chosen.source, chosen.target))
    if source and target and target.exists() and target.samefile(source):
        print(f"{target} would be written over itself; name another file", file=sys.stderr)
        return USAGE
    table = engine.table(chosen.calculator, choices)
    try:
        with (
            source.open("rb") if source else nullcontext(sys.stdin.buffer) as given,
            writing(target) as written,
            progress("rows", source_size(source)) as seen,
        ):
            convert(table, given, written, seen)
    except (FileNotFoundError, IsADirectoryError, PermissionError) as error:
        raise malformed("file-unreadable", path=Code(error.filename), why=Code(error.strerror)) from None
    print(f"{table.answered} rows answered, {table.refused} with errors", file=sys.stderr)
    return ROWS_REFUSED if table.refused else 0


def _plan(chosen: argparse.Namespace) -> int:
    job = with_weather(read_file(chosen.job), chosen.job.parent)
    engine = _engine(chosen)
    if chosen.svg:
        print(engine.plan_svg(job, _options(chosen)), end="")
    elif chosen.format == "json":
        _print_json(engine.plan(job, _options(chosen)))
    elif console := screen(sys.stdout):
        from latewood.cli import pages

        width = chosen.width or min(max(console.width, WIDTHS[0]), _READABLE)
        pages.planned(console, engine.plan_text(job, _options(chosen), width=width, full=chosen.full))
    else:
        print(engine.plan_text(job, _options(chosen), width=chosen.width or 80, full=chosen.full), end="")
    return 0


def _workbook(chosen: argparse.Namespace) -> int:
    try:
        workbook.write(chosen.target, chosen.server)
    except FileExistsError:
        print(f"{chosen.target} is there already; name another file", file=sys.stderr)
        return USAGE
    except OSError as error:
        print(f"{chosen.target} cannot be written: {error.strerror}", file=sys.stderr)
        return REFUSED
    return 0


def _weather(chosen: argparse.Namespace) -> int:
    _print_json(read_weather(chosen.file, kind=chosen.kind, year=chosen.year))
    return 0


def _verify(chosen: argparse.Namespace) -> int:
    from latewood.verify import verify

    engine = _engine(chosen)
    with progress("checks", len(engine.shelf.records("check"))) as seen:
        report = verify(engine, seen)
    if chosen.format == "json":
        _print_json(report.as_dict())
    elif console := screen(sys.stdout):
        from latewood.cli import pages

        pages.checked(console, report)
    else:
        print("\n".join(report.lines()))
    return REFUSED if report.failed else 0


def _plugins(chosen: argparse.Namespace) -> int:
    listed = _engine(chosen).health()["plugins"]
    if console := screen(sys.stdout):
        from latewood.cli import pages

        rows = [(one["id"], f"{one['distribution']} {one['version']}", one["summary"]) for one in listed]
        pages.listed(console, ("Plugin", "Distribution", "Brings"), rows)
    else:
        print("\n".join(f"{one['id']} ({one['distribution']} {one['version']}): {one['summary']}" for one in listed))
    return REFUSED if any("error" in one for one in listed) else 0


def _catalogue(chosen: argparse.Namespace) -> int:
    if chosen.search is not None and (chosen.kind is None or chosen.id is not None):
        print("--search looks through one kind, such as: latewood catalogue species --search cedar", file=sys.stderr)
        return USAGE
    engine = _engine(chosen)
    if chosen.format == "json" and chosen.id is None:
        _print_json(engine.items(chosen.kind, chosen.search) if chosen.kind else engine.counts())
    elif console := screen(sys.stdout, chosen.format if chosen.id else None):
        _show(console, engine, chosen)
    elif chosen.kind is None:
        print("\n".join(f"{one['id']}: {one['title']} ({one['count']})" for one in engine.counts()["items"]))
    elif chosen.id is None:
        listed = engine.items(chosen.kind, chosen.search)
        for entry in listed["items"]:
            print(f"{entry['id']}: {entry['title']}" + (f" - {entry['summary']}" if entry["summary"] else ""))
        _tell_of_search(listed)
    else:
        _print_json(engine.item(chosen.kind, chosen.id))
    return 0


def _show(console: Console, engine: Catalogue, chosen: argparse.Namespace) -> None:
    from latewood.cli import pages

    if chosen.kind is None:
        rows = [(one["id"], one["title"], str(one["count"])) for one in engine.counts()["items"]]
        pages.listed(console, ("Kind", "Title", "Entries"), rows)
    elif chosen.id is None:
        listed = engine.items(chosen.kind, chosen.search)
        rows = [(one["id"], one["title"], one["summary"]) for one in listed["items"]]
        pages.listed(console, (chosen.kind.capitalize(), "Title", "Summary"), rows)
        _tell_of_search(listed)
    else:
        pages.entry(console, engine.item(chosen.kind, chosen.id), engine.speaker(Options()))


def _tell_of_search(listed: dict[str, Any]) -> None:
    if shared := listed.get("ambiguous"):
        print(f"{shared['title']} may mean several woods:", file=sys.stderr)
        for wood in shared["candidates"]:
            about = ", ".join(filter(None, (wood["botanical"], wood.get("where"))))
            print(f"  {wood['title']} ({about})" + ("" if wood["on_shelf"] else ", not on this shelf"), file=sys.stderr)
    elif listed.get("nearest"):
        print(f"nothing found; did you mean {listed['nearest']}?", file=sys.stderr)


_COMMANDS: Final[Mapping[str, Callable[[argparse.Namespace], int]]] = {
    "run": _run,
    "plan": _plan,
    "table": _table,
    "catalogue": _catalogue,
    "weather": _weather,
    "workbook": _workbook,
    "verify": _verify,
    "plugins": _plugins,
    "serve": _serve,
}
