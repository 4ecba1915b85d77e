"""The ``latewood`` command: the same calculations without a server."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from contextlib import nullcontext
from pathlib import Path
from typing import Any

import msgspec

from latewood.catalogue import Catalogue, load
from latewood.columns import Choices
from latewood.columns.choices import DELIMITERS, DOCS
from latewood.columns.files import Progress, convert, source_size, writing
from latewood.job_files import read_file, with_weather
from latewood.messages import Code, malformed
from latewood.plugin.loader import BadPlugin
from latewood.problems import Fault, InputProblem, Malformed, NotFound
from latewood.report import WIDTHS
from latewood.undisturbed import undisturbed
from latewood.weather.files import read_weather
from latewood.wire import Options

REFUSED, USAGE, ROWS_REFUSED, INTERRUPTED = 1, 2, 3, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command; return its exit code.

    0 done, 1 refused, 2 used wrongly, 3 a table was written and some of its rows hold errors.
    """
    parser = _parser()
    chosen = parser.parse_args(arguments)
    try:
        command: Callable[[argparse.Namespace], int] = chosen.command
        code = command(chosen)
        # Else what cannot be written is found out after the last handler here.
        sys.stdout.flush()
        return code
    except InputProblem as problem:
        return _print_faults(*problem.faults)
    except (NotFound, Malformed) as problem:
        return _print_faults(problem.fault)
    except BadPlugin as problem:
        print(problem, file=sys.stderr)
        return REFUSED
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # The reader of our output (head, less) has seen enough.
        _drop_output()
        return 0
    except OSError as error:
        print(f"{error.filename or 'the output'} cannot be written: {error.strerror}", file=sys.stderr)
        _drop_output()
        return REFUSED


def _drop_output() -> None:
    """Send what is left of the output nowhere, or it would fail once more when Python ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _print_faults(*faults: Fault) -> int:
    print("\n".join(fault.line() for fault in faults), file=sys.stderr)
    return REFUSED


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="latewood", description=__doc__)
    strict = "stop where a plugin cannot be used, instead of leaving it out"
    parser.add_argument("--strict", action="store_true", help=strict)
    commands = parser.add_subparsers(required=True, metavar="command")
    shared = argparse.ArgumentParser(add_help=False)
    shared.add_argument("--units", choices=["metric", "us"], help="units of the answer")
    shared.add_argument("--decimal", choices=[".", ","], default=".", help="decimal mark of quantities")
    shared.add_argument("--lang", help="language of the texts")
    shared.add_argument("--working", action="store_true", help="add the worked steps")

    serve = commands.add_parser("serve", help="serve the HTTP API")
    serve.add_argument("--host", default="127.0.0.1", help="with a proxy in front where others can reach it")
    serve.add_argument("--port", type=int, default=8000)
    _serve_options(serve)
    serve.set_defaults(command=_serve)

    run = commands.add_parser(
        "run", parents=[shared], help="run one calculator: latewood run coverage area='400 ft2' …"
    )
    run.add_argument("calculator")
    run.add_argument("fields", nargs="*", metavar="name=value")
    run.add_argument("--output", help="print one output only, as a spreadsheet cell shows it")
    run.set_defaults(command=_run)

    plan = commands.add_parser("plan", parents=[shared], help="plan a job from a TOML or JSON file")
    plan.add_argument("job", type=Path)
    plan.add_argument("--format", choices=["text", "json"], default="text")
    plan.add_argument("--svg", action="store_true", help="print a picture of zones, boards and edge work instead")
    plan.add_argument("--width", type=_between(*WIDTHS), default=80, help="columns of the text; a phone has 46")
    plan.add_argument("--full", action="store_true", help="show everything, however long")
    plan.set_defaults(command=_plan)

    weather = commands.add_parser("weather", help="read a weather file (CSV, TMY3, EPW) into what a request sends")
    weather.add_argument("file", type=Path)
    weather.add_argument("--kind", choices=["csv", "epw", "tmy3"], help="if the file does not tell itself")
    weather.add_argument("--year", type=int, help="year to put a typical year into")
    weather.set_defaults(command=_weather)

    _table_parser(commands)

    verify = commands.add_parser("verify", help="run every published check")
    verify.add_argument("--format", choices=["text", "json"], default="text")
    verify.set_defaults(command=_verify)

    commands.add_parser("plugins", help="list the plugins, and why any is left out").set_defaults(command=_plugins)

    catalogue = commands.add_parser("catalogue", help="list what this engine knows")
    catalogue.add_argument("kind", nargs="?")
    catalogue.add_argument("id", nargs="?")
    catalogue.add_argument("--search", metavar="NAME", help="list what goes by this name, or part of it")
    catalogue.set_defaults(command=_catalogue)
    return parser


def _serve_options(serve: argparse.ArgumentParser) -> None:
    serve.add_argument(
        "--workers",
        type=_between(2, 64),
        help="processes that calculate, one of them kept for short work; default: one for each processor, at least "
        "two and at most four",
    )
    budget = "seconds of processor time for one calculation; default: 5"
    serve.add_argument("--budget", type=_between(1, 3600), help=budget)
    serve.add_argument(
        "--notice",
        type=_between(0, 3600),
        help="seconds between readiness turning 503 and the door closing, when told to stop; default: 1",
    )
    serve.add_argument(
        "--within",
        type=_between(1, 86400),
        help="seconds in which what was asked before the stop must then be answered; default: 30",
    )
    serve.add_argument(
        "--contact",
        action="append",
        metavar="ADDRESS",
        help="whom to tell of a security fault, for security.txt: https:, mailto: or tel:; may be given again. "
        "Without it: what LATEWOOD_CONTACT names",
    )


def _between(least: int, most: int) -> Callable[[str], int]:
    def number(text: str) -> int:
        if not (text.isascii() and text.isdigit() and least <= int(text) <= most):
            raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from {least} to {most}")
        return int(text)

    return number


def _table_parser(commands: Any) -> None:
    rows = "answer every row of a CSV file: latewood table coverage rows.csv answers.csv"
    table = commands.add_parser("table", help=rows)
    table.add_argument("calculator")
    table.add_argument("source", help="a CSV file in UTF-8 with names of inputs in its header, or - for stdin")
    table.add_argument("target", help="the file to write, or - for stdout")
    table.add_argument("--units", choices=["metric", "us"], help="units of the answers")
    table.add_argument("--lang", help="language of the texts")
    table.add_argument("--decimal", choices=[".", ","], help=DOCS["decimal"])
    table.add_argument("--delimiter", choices=list(DELIMITERS), help=DOCS["delimiter"])
    table.add_argument("--unit-row", choices=["true", "false"], help=DOCS["unit_row"])
    table.add_argument("--outputs", metavar="NAME,NAME", help=DOCS["outputs"])
    table.add_argument("--carry", metavar="HEADER", action="append", default=[], help=DOCS["carry"])
    table.set_defaults(command=_table)


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
    if chosen.output:
        print(engine.cell(chosen.calculator, chosen.output, pairs, _options(chosen)))
    else:
        _print_json(engine.answer_flat(chosen.calculator, pairs, _options(chosen)))
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
        with source.open("rb") if source else nullcontext(sys.stdin.buffer) as given, writing(target) as written:
            convert(table, given, written, Progress(sys.stderr, source_size(source)))
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
    else:
        print(engine.plan_text(job, _options(chosen), width=chosen.width, full=chosen.full), end="")
    return 0


def _weather(chosen: argparse.Namespace) -> int:
    _print_json(read_weather(chosen.file, kind=chosen.kind, year=chosen.year))
    return 0


def _verify(chosen: argparse.Namespace) -> int:
    from latewood.verify import verify

    report = verify(_engine(chosen))
    _print_json(report.as_dict()) if chosen.format == "json" else print("\n".join(report.lines()))
    return REFUSED if report.failed else 0


def _plugins(chosen: argparse.Namespace) -> int:
    listed = _engine(chosen).health()["plugins"]
    print("\n".join(f"{one['id']} ({one['distribution']} {one['version']}): {one['summary']}" for one in listed))
    return REFUSED if any("error" in one for one in listed) else 0


def _catalogue(chosen: argparse.Namespace) -> int:
    if chosen.search is not None and (chosen.kind is None or chosen.id is not None):
        print("--search looks through one kind, such as: latewood catalogue species --search cedar", file=sys.stderr)
        return USAGE
    engine = _engine(chosen)
    if chosen.kind is None:
        print("\n".join(f"{kind} ({engine.items(kind)['count']})" for kind in engine.kinds()))
    elif chosen.id is None:
        listed = engine.items(chosen.kind, chosen.search)
        for entry in listed["items"]:
            print(f"{entry['id']}: {entry['title']}" + (f" - {entry['summary']}" if entry["summary"] else ""))
        _tell_of_search(listed)
    else:
        _print_json(engine.item(chosen.kind, chosen.id))
    return 0


def _tell_of_search(listed: dict[str, Any]) -> None:
    if shared := listed.get("ambiguous"):
        print(f"{shared['title']} may mean several woods:", file=sys.stderr)
        for wood in shared["candidates"]:
            about = ", ".join(filter(None, (wood["botanical"], wood.get("where"))))
            print(f"  {wood['title']} ({about})" + ("" if wood["on_shelf"] else ", not on this shelf"), file=sys.stderr)
    elif listed.get("nearest"):
        print(f"nothing found; did you mean {listed['nearest']}?", file=sys.stderr)


if __name__ == "__main__":
    sys.exit(main())
