"""What the command takes: sub-commands and their options, each explained. Nothing of the engine is imported for it."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any, Final, NoReturn

from latewood.cli.usage import Parser

ABOUT = (
    "Calculate what it takes to refinish a weathered wood deck: area, condition, preparation, drying, finish to buy, "
    "weather windows and hazards."
)

EXAMPLES = """\
examples:
  latewood run coverage area='400 ft2' species=ipe coating=clear-penetrating-oil
  latewood plan my_deck.toml
  latewood catalogue species --search cedar

"latewood COMMAND --help" explains a command.
Exit codes: 0 done, 1 refused, 2 used wrongly, 3 some rows of a table hold errors, 130 interrupted."""


#: Options that would change nothing beside another of the same command, or beside one value of it.
_IDLE: Final[Mapping[str, Sequence[tuple[str, str, Sequence[str]]]]] = {
    "run": [("output", "", ["format", "working"])],
    "plan": [("svg", "", ["format", "width", "full", "working"]), ("format", "json", ["width", "full"])],
}


def read(arguments: Sequence[str] | None) -> argparse.Namespace:
    """Read the arguments; raise `SystemExit` where there is help to show or something is wrong."""
    parser = _parser()
    chosen, rest = parser.parse_known_args(arguments)
    if chosen.command is None:
        parser.error("no command is given")
    chosen.parser.refuse_unknown(rest)
    for option, value, names in _IDLE.get(chosen.command, ()):
        given = getattr(chosen, option)
        idle = [name for name in names if getattr(chosen, name)]
        if idle and given and value in ("", given):
            chosen.parser.error(f"--{idle[0]} has no effect with --{option} {value}".rstrip())
    return chosen


class _Version(argparse.Action):
    def __init__(self, option_strings: Sequence[str], dest: str, **given: Any) -> None:
        super().__init__(option_strings, dest, nargs=0, **given)

    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> NoReturn:
        from importlib.metadata import version

        print(f"latewood {version('latewood')}")
        parser.exit()


def _parser() -> Parser:
    parser = Parser(prog="latewood", description=ABOUT, epilog=EXAMPLES)
    parser.add_argument("--version", action=_Version, help="show the version and stop")
    strict = "stop where a plugin cannot be used, instead of leaving it out"
    parser.add_argument("--strict", action="store_true", help=strict)
    commands = parser.add_subparsers(dest="command", title="commands", metavar="COMMAND")

    def add(name: str, title: str, about: str, *, texts: bool = False) -> Parser:
        shared = [_texts()] if texts else []
        command: Parser = commands.add_parser(name, help=title, description=about, parents=shared)
        command.set_defaults(parser=command)
        return command

    _run(add("run", "answer one question", "Run one calculator and print its answer.", texts=True))
    _plan(add("plan", "plan a job from a file", "Plan a job: dangers, purchases, work and times.", texts=True))
    _table(add("table", "answer each row of a CSV file", "Run one calculator on each row of a CSV file."))
    _catalogue(add("catalogue", "list the woods, finishes, machines and rules", "Show what this engine knows."))
    _weather(
        add(
            "weather",
            "read a weather file",
            "Read a weather file (CSV, TMY3, EPW) into what a request sends.",
        )
    )
    _workbook(
        add("workbook", "write a spreadsheet whose cells ask a server", "Write a workbook whose cells ask a server.")
    )
    _verify(add("verify", "check the engine against published values", "Run all published checks that are installed."))
    add("plugins", "list the plugins", "List the plugins, and why any is left out.")
    _serve(add("serve", "serve the HTTP API", "Serve the HTTP API and its documentation."))
    return parser


def _texts() -> Parser:
    """Return the options that change how an answer looks."""
    shared = Parser(add_help=False)
    shared.add_argument("--units", choices=["metric", "us"], metavar="UNITS", help="units of the answer: metric or us")
    decimal = "decimal mark of quantities you give and of text: . or ,"
    shared.add_argument("--decimal", choices=[".", ","], default=".", metavar="MARK", help=decimal)
    shared.add_argument("--lang", metavar="LANGUAGE", help="language of the texts: en, en-US or es")
    shared.add_argument("--working", action="store_true", help="add the worked steps")
    return shared


def _format(command: Parser, about: str, default: str | None = None) -> None:
    command.add_argument("--format", choices=["text", "json"], default=default, metavar="FORMAT", help=about)


def _run(run: Parser) -> None:
    calculator = 'a calculator, such as coverage; "latewood catalogue calculators" lists all'
    run.add_argument("calculator", help=calculator)
    fields = """an input, such as area='400 ft2'; "latewood catalogue calculators CALCULATOR" lists all"""
    run.add_argument("fields", nargs="*", default=[], metavar="name=value", help=fields)
    run.add_argument("--output", metavar="NAME", help="print one output only, as a spreadsheet cell shows it")
    _format(run, "text or json (default: text on a terminal, json elsewhere)")


def _plan(plan: Parser) -> None:
    plan.add_argument("job", type=Path, help="a TOML or JSON file that describes the deck")
    _format(plan, "text (default) or json")
    plan.add_argument("--svg", action="store_true", help="print a picture of zones, boards and edge work instead")
    width = "columns of the text (default: those of the terminal, at most 100, else 80); a phone has 46"
    plan.add_argument("--width", type=_page, metavar="COLUMNS", help=width)
    plan.add_argument("--full", action="store_true", help="show everything, however long")


def _table(table: Parser) -> None:
    table.add_argument("calculator", help="a calculator, such as coverage")
    table.add_argument("source", help="a CSV file in UTF-8 with names of inputs in its header, or - for stdin")
    table.add_argument("target", help="the file to write, or - for stdout")
    table.add_argument("--units", choices=["metric", "us"], metavar="UNITS", help="units of the answers: metric or us")
    table.add_argument("--lang", metavar="LANGUAGE", help="language of the texts: en, en-US or es")
    decimal = "decimal mark of the table, . or , (default: found from the rows)"
    table.add_argument("--decimal", choices=[".", ","], metavar="MARK", help=decimal)
    delimiter = "what separates the cells: comma, semicolon or tab (default: found from the header)"
    table.add_argument("--delimiter", choices=["comma", "semicolon", "tab"], metavar="NAME", help=delimiter)
    row = "true or false: whether the first row under the header holds units (default: found from that row)"
    table.add_argument("--unit-row", choices=["true", "false"], metavar="BOOL", help=row)
    outputs = "outputs to add (default: all that are single values)"
    table.add_argument("--outputs", metavar="NAME,NAME", help=outputs)
    carry = "a column to carry through without reading it; give it again for each column"
    table.add_argument("--carry", metavar="HEADER", action="append", default=[], help=carry)


def _weather(weather: Parser) -> None:
    weather.add_argument("file", type=Path, help="the file to read")
    weather.add_argument(
        "--kind", choices=["csv", "epw", "tmy3"], metavar="KIND", help="csv, epw or tmy3 (default: found from the file)"
    )
    weather.add_argument("--year", type=int, help="the year to put a typical year into")


def _workbook(workbook: Parser) -> None:
    workbook.add_argument("target", type=Path, help="the file to write, such as deck.xlsx")
    server = "address of the server (default: http://127.0.0.1:8000, where latewood serve listens)"
    workbook.add_argument("--server", default="http://127.0.0.1:8000", metavar="ADDRESS", help=server)


def _verify(verify: Parser) -> None:
    _format(verify, "text (default) or json", "text")


def _catalogue(catalogue: Parser) -> None:
    catalogue.add_argument("kind", nargs="?", help="a kind, such as species (default: list the kinds)")
    catalogue.add_argument("id", nargs="?", help="one entry of that kind, such as ipe, to show it whole")
    search = "list what goes by this name, or part of it"
    catalogue.add_argument("--search", metavar="NAME", help=search)
    _format(catalogue, "text or json (default: text; for one entry text on a terminal, json elsewhere)")


def _serve(serve: Parser) -> None:
    host = "address to listen at (default: 127.0.0.1); put a proxy in front where others can reach it"
    serve.add_argument("--host", default="127.0.0.1", help=host)
    serve.add_argument("--port", type=int, default=8000, help="port to listen at (default: 8000)")
    workers = (
        "processes that calculate, one of them kept for short work (default: one for each processor, at least two "
        "and at most four)"
    )
    serve.add_argument("--workers", type=_between(2, 64), metavar="NUMBER", help=workers)
    budget = "processor time for one calculation (default: 5)"
    serve.add_argument("--budget", type=_between(1, 3600), metavar="SECONDS", help=budget)
    notice = "time between readiness turning 503 and the door closing, when told to stop (default: 1)"
    serve.add_argument("--notice", type=_between(0, 3600), metavar="SECONDS", help=notice)
    within = "time in which what was asked before the stop must then be answered (default: 30)"
    serve.add_argument("--within", type=_between(1, 86400), metavar="SECONDS", help=within)
    contact = (
        "whom to tell of a security fault, for security.txt: https:, mailto: or tel:; give it again for each "
        "(default: what LATEWOOD_CONTACT names)"
    )
    serve.add_argument("--contact", action="append", metavar="ADDRESS", help=contact)


def _between(least: int, most: int) -> Callable[[str], int]:
    def number(text: str) -> int:
        if not (text.isascii() and text.isdigit() and least <= int(text) <= most):
            raise argparse.ArgumentTypeError(f"{text!r} is not a whole number from {least} to {most}")
        return int(text)

    return number


def _page(text: str) -> int:
    from latewood.report import WIDTHS

    return _between(*WIDTHS)(text)
