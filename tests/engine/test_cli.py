"""The command: every sub-command, right and wrong, with what it prints where, and the code it ends with."""

from __future__ import annotations

import json
import os
import re
import socket
import subprocess
import sys
from collections.abc import Callable, Mapping
from importlib.metadata import EntryPoint, version
from pathlib import Path
from typing import Any

import msgspec
import pytest

from latewood.catalogue import load
from latewood.cli import main
from latewood.plugin import Record, hookimpl, read_record
from latewood.plugin.loader import installed
from latewood.verify import OUTSIDE

JOBS = Path(__file__).parents[2] / "examples" / "jobs"
DECK = ["area=400 ft2", "species=ipe", "coating=clear-penetrating-oil"]
BUNDLED = [entry for entry in installed() if entry.name == "latewood"]
JOB = """
schema = 1
as_of = 2026-05-04
[defaults]
species = "ipe"
coating = "clear-penetrating-oil"
[[zones]]
id = "main"
area = "400 ft2"
"""

SUBCOMMANDS = ["run", "plan", "table", "catalogue", "weather", "workbook", "verify", "plugins", "serve"]

Plugin = Callable[[str, Mapping[str, Any]], EntryPoint]
Said = pytest.CaptureFixture[str]


def check(against: str, expected: str) -> Record:
    text = f"""
        schema = 1
        record = "check"
        id = "foot"
        title = "A foot"
        summary = "For tests."
        calculator = "units"
        source = "wood-handbook-190"
        where = "nowhere"
        against = "{against}"
        tolerance = "exact"
        reason = "a definition"
        [[cases]]
        id = "foot"
        input = {{ quantity = "1 ft", to = "mm" }}
        expected = {{ quantity = "{expected}" }}
    """
    return read_record(text, "test")


@pytest.fixture
def beside(plugin: Plugin, monkeypatch: pytest.MonkeyPatch) -> Callable[..., None]:
    """Install a plugin beside the bundled one."""

    def install(name: str, *records: Record, **hooks: Any) -> None:
        entry = plugin(name, {"latewood_records": hookimpl(lambda: records), **hooks})
        monkeypatch.setattr("latewood.cli.commands.load", lambda *, strict: load([*BUNDLED, entry], strict=strict))

    return install


def test_an_answer_alone_on_stdout(capsys: Said) -> None:
    assert main(["run", "coverage", *DECK]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    answer = json.loads(said.out)
    # 400 ft2 at the geometric mean of 250 and 400 ft2/us_gal, in litres of 231 in3 a gallon.
    assert answer["result"]["volume"]["value"] == pytest.approx(400 / (250 * 540) ** 0.5 * 3.785411784, rel=1e-8)
    assert {"calculator", "result", "basis", "findings", "cautions", "computed_with"} == set(answer)


def test_options_reach_the_answer(capsys: Said) -> None:
    assert main(["run", "coverage", *DECK[1:], "area=37,16 m2", "--units", "us", "--decimal", ",", "--working"]) == 0
    answer = json.loads(capsys.readouterr().out)
    assert answer["result"]["volume"]["unit"] == "us_gal"
    assert answer["sheet"]


def test_one_output_as_a_cell_shows_it(capsys: Said) -> None:
    assert main(["run", "coverage", *DECK, "--output", "volume", "--units", "us"]) == 0
    assert capsys.readouterr().out == "1.08866211 us_gal\n"
    assert main(["run", "coverage", *DECK, "--output", "volume", "--units", "us", "--decimal", ","]) == 0
    assert capsys.readouterr().out == "1,08866211 us_gal\n"


@pytest.mark.parametrize(
    ("arguments", "code", "says"),
    [
        (["run", "coverge", *DECK], 2, ["did you mean coverage?"]),
        (["run", "coverage", *DECK, "--output", "volum"], 2, ["did you mean volume?"]),
        (["run", "coverage", *DECK, "aera=3 m2"], 2, ["aera: ", "did you mean area?"]),
        (
            ["run", "coverage", "area=400", "species=ipe", "coating=clear-penetratin-oil"],
            1,
            ["area: ", "coating: ", "did you mean clear-penetrating-oil?"],
        ),
        (["run", "coverage", "area=400 ft2", "area=1 ft2", *DECK[1:]], 1, ["area: "]),
        (["plan", "no-such-job.toml"], 1, ["no-such-job.toml cannot be read: No such file or directory"]),
        (["plan", "."], 1, ["cannot be read: Is a directory"]),
        (["run", "coverage", *DECK, "unit=us"], 2, ["unit: ", "did you mean units?"]),
        (["run", "coverage", *DECK, "units=us"], 1, ["units: ", "it is an option"]),
        (["weather", str(JOBS / "dockyard_weather.csv"), "--year", "2020"], 1, ["have years of their own"]),
        (["catalogue", "speces"], 2, ["did you mean species?"]),
        (["catalogue", "species", "ipee"], 2, ["did you mean ipe?"]),
        (["catalogue", "formulas", "volume-lade-on"], 2, ["did you mean volume-laid-on?"]),
    ],
)
def test_what_is_refused_is_said_on_stderr(arguments: list[str], code: int, says: list[str], capsys: Said) -> None:
    assert main(arguments) == code
    said = capsys.readouterr()
    assert said.out == ""
    assert [words for words in says if words not in said.err] == []


def test_a_word_that_is_no_field_is_used_wrongly(capsys: Said) -> None:
    assert main(["run", "coverage", "400 ft2"]) == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == "'400 ft2' is not name=value, such as area='400 ft2'\n"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        ([], "latewood: no command is given ("),
        (["bake"], "latewood: there is no command 'bake'; there are run, plan, table, "),
        (["vrify"], "latewood: there is no command 'vrify'; did you mean verify? ("),
        (["run"], "latewood run: the following arguments are required: calculator ("),
        (["run", "coverage", "--units", "cgs"], "latewood run: there is no --units 'cgs'; there are metric, us ("),
        (["run", "coverage", "--uits", "us"], "latewood run: there is no option '--uits'; did you mean --units? ("),
        (["plan", "a.toml", "--format", "tex"], "latewood plan: there is no --format 'tex'; did you mean text? ("),
        (["plan", "a.toml", "--svg", "--full"], "latewood plan: --full has no effect with --svg ("),
        (
            ["plan", "a.toml", "--format", "json", "--width", "46"],
            "latewood plan: --width has no effect with --format",
        ),
        (
            ["run", "coverage", "--output", "volume", "--working"],
            "latewood run: --working has no effect with",
        ),
        (["plugins", "all"], "latewood plugins: there is no argument 'all' ("),
        (["serve", "--port", "http"], "latewood serve: argument --port: invalid int value: 'http' ("),
    ],
)
def test_what_the_command_does_not_have_is_said_in_a_line(arguments: list[str], says: str, capsys: Said) -> None:
    with pytest.raises(SystemExit) as ended:
        main(arguments)
    assert ended.value.code == 2
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err.startswith(says)
    assert said.err.count("\n") == 1


@pytest.mark.parametrize(
    ("arguments", "first"),
    [([], "abrasive"), (["species"], "acetylated-radiata-pine"), (["species", "--search", "ipe"], "ipe")],
)
def test_lists_are_json_where_json_is_asked(arguments: list[str], first: str, capsys: Said) -> None:
    assert main(["catalogue", *arguments, "--format", "json"]) == 0
    listed = json.loads(capsys.readouterr().out)
    assert listed["items"][0]["id"] == first
    assert listed["count"] == len(listed["items"])


def test_its_version(capsys: Said) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["--version"])
    assert ended.value.code == 0
    assert capsys.readouterr().out == f"latewood {version('latewood')}\n"


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], *([name, "--help"] for name in SUBCOMMANDS)])
def test_help_imports_nothing_of_the_engine(arguments: list[str]) -> None:
    """What a start costs: the engine, what it stands on, and what only a terminal needs."""
    program = (
        "import sys; from latewood.cli import main\n"
        "try: main(sys.argv[1:])\n"
        "except SystemExit: print(*sys.modules, file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", program, *arguments], capture_output=True, text=True, check=True)
    imported = set(done.stderr.split())
    cli = {"arguments", "usage"}
    ours = {"latewood", "latewood.cli", "latewood.undisturbed", *(f"latewood.cli.{name}" for name in cli)}
    assert {name for name in imported if name.partition(".")[0].startswith("latewood")} == ours
    assert not imported & {"msgspec", "numpy", "shapely", "pluggy", "rich", "platformdirs", "asyncio"}
    assert done.stdout.startswith("latewood" if "--version" in arguments else "usage: latewood")


@pytest.mark.parametrize("name", ["", *SUBCOMMANDS])
def test_help_explains_every_option_without_markup(name: str, capsys: Said, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "100")
    with pytest.raises(SystemExit):
        main([*([name] if name else []), "--help"])
    said = capsys.readouterr().out
    assert "`" not in said
    assert "**" not in said
    # An option, a blank, what it does; or its explanation on the line below.
    options = re.findall(r"^  (-.*?)(?:  +(\S.*)|\n {20,}(\S.*))?$", said, re.MULTILINE)
    assert options
    assert [option for option, beside, below in options if not beside and not below] == []


@pytest.mark.parametrize(("columns", "name"), [("40", "weather"), ("120", "plan")])
def test_help_is_as_wide_as_the_terminal(
    columns: str, name: str, capsys: Said, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("COLUMNS", columns)
    with pytest.raises(SystemExit):
        main([name, "--help"])
    widest = max(map(len, capsys.readouterr().out.splitlines()))
    assert 0.7 * min(int(columns), 100) < widest <= int(columns)


def test_a_plan_as_text(tmp_path: Path, capsys: Said) -> None:
    job = tmp_path / "job.toml"
    job.write_text(JOB)
    assert main(["plan", str(job), "--units", "us"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert said.out.startswith("main: 400 sq ft of floor\n")
    assert "1.1 gal" in said.out
    assert "TO BUY" in said.out
    assert "DANGER: " in said.out


def test_a_plan_as_json_alone_on_stdout(tmp_path: Path, capsys: Said) -> None:
    job = tmp_path / "job.toml"
    job.write_text(JOB)
    assert main(["plan", str(job), "--format", "json"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    assert {step["status"] for step in json.loads(said.out)["steps"]} == {"done", "not-planned"}


def test_a_job_in_json_is_planned_as_in_toml(tmp_path: Path, capsys: Said) -> None:
    tree = {
        "schema": 1,
        "as_of": "2026-05-04",
        "defaults": {"species": "ipe", "coating": "clear-penetrating-oil"},
        "zones": [{"id": "main", "area": "400 ft2"}],
    }
    (tmp_path / "job.json").write_bytes(msgspec.json.encode(tree))
    (tmp_path / "job.toml").write_text(JOB)
    printed = []
    for name in ("job.json", "job.toml"):
        assert main(["plan", str(tmp_path / name), "--format", "json"]) == 0
        printed.append(capsys.readouterr().out)
    assert printed[0] == printed[1]


@pytest.mark.parametrize(
    ("name", "text", "says"),
    [
        ("job.toml", "schema = ", "job.toml: "),
        ("job.toml", "[" * 100_000, "job.toml: "),
        ("job.json", '{"schema": 1, "schema": 1}', "schema"),
        ("job.json", "schema = 1", "JSON"),
        ("job.toml", "schema = 1\nzones = 3\n", "zones: "),
        ("job.toml", 'schema = 1\nzones = [{id = "a", area = nan}]\n', "zones.0.area: "),
        ("job.toml", 'schema = 1\nzones = [{id = "a", area = 07:32:00}]\n', "zones.0.area: "),
        ("job.toml", "schema = 1\nas_of = 07:32:00\nzones = []\n", "as_of: "),
        ("job.toml", JOB.replace("as_of", "as_off"), "did you mean as_of?"),
    ],
)
def test_a_job_that_cannot_be_read_is_refused_by_its_place(
    name: str, text: str, says: str, tmp_path: Path, capsys: Said
) -> None:
    (tmp_path / name).write_text(text)
    assert main(["plan", str(tmp_path / name)]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert says in said.err


def test_a_job_in_no_text_at_all_is_refused(tmp_path: Path, capsys: Said) -> None:
    job = tmp_path / "job.toml"
    job.write_bytes(b"schema = 1\xff")
    assert main(["plan", str(job)]) == 1
    assert "TOML document in UTF-8" in capsys.readouterr().err


def test_the_catalogue_in_three_depths(capsys: Said) -> None:
    assert main(["catalogue"]) == 0
    assert "\nspecies: Woods (" in capsys.readouterr().out
    assert main(["catalogue", "species"]) == 0
    assert any(line.startswith("ipe: Ipe") for line in capsys.readouterr().out.splitlines())
    assert main(["catalogue", "species", "ipe"]) == 0
    assert json.loads(capsys.readouterr().out)["content"]["botanical"]


def test_every_kind_can_be_listed_and_each_first_entry_read(capsys: Said, monkeypatch: pytest.MonkeyPatch) -> None:
    once = load()
    monkeypatch.setattr("latewood.cli.commands.load", lambda **_: once)
    main(["catalogue"])
    kinds = [re.fullmatch(r"(.+): .+ \((\d+)\)", line) for line in capsys.readouterr().out.splitlines()]
    counts = {kind[1]: int(kind[2]) for kind in kinds if kind}
    assert {"calculators", "formulas", "plugins", "species"} <= counts.keys()
    for kind, count in counts.items():
        assert main(["catalogue", kind]) == 0
        lines = capsys.readouterr().out.splitlines()
        assert len(lines) == count
        for line in lines[:1]:
            id = line.partition(": ")[0]
            assert main(["catalogue", kind, id]) == 0
            assert json.loads(capsys.readouterr().out)["id"] == id


def test_the_published_checks_all_hold(capsys: Said) -> None:
    assert main(["--strict", "verify", "--format", "json"]) == 0
    said = capsys.readouterr()
    assert said.err == ""
    report = json.loads(said.out)
    assert report["failed"] == 0
    assert report["outside"] == sum(report["groups"].get(kind, 0) for kind in sorted(OUTSIDE))
    assert report["numbers"]["published"] > 200
    assert report["numbers"]["reported"] > 200
    assert set(report["calculators"]) == set(load(BUNDLED).calculators)
    assert all(row["disagrees"] and not row["passed"] for row in report["disagreements"])
    # Words have no number to differ by.
    assert all("miss" in row or isinstance(row["expected"], str) for row in report["disagreements"])
    assert {c["against"] for c in report["checks"]} >= {"published", "hand-worked"}


def test_checks_as_lines(beside: Callable[..., None], capsys: Said) -> None:
    beside("more", check("published", "304.8 mm"))
    assert main(["verify"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert "ok   foot/foot: 304.8 mm (expected 304.8 mm, ± exact)" in lines
    assert lines[-1].endswith(" 0 failed")


def test_a_check_that_misses_is_shown_and_ends_with_1(beside: Callable[..., None], capsys: Said) -> None:
    beside("more", check("published", "305 mm"))
    assert main(["verify"]) == 1
    lines = capsys.readouterr().out.splitlines()
    assert "MISS foot/foot: 304.8 mm (expected 305 mm, ± exact)" in lines
    assert lines[-1].endswith(" 1 failed")
    assert main(["verify", "--format", "json"]) == 1
    report = json.loads(capsys.readouterr().out)
    assert [c["id"] for c in report["checks"] if not c["passed"]] == ["foot/foot"]


def fails() -> list[Record]:
    raise RuntimeError("no such disk")


@pytest.mark.parametrize("command", [["run", "coverage", *DECK], ["verify"], ["catalogue"], ["plan", "job.toml"]])
def test_strict_stops_where_a_plugin_is_broken(
    command: list[str], beside: Callable[..., None], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Said
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("job.toml").write_text(JOB)
    beside("bad", latewood_records=hookimpl(fails))
    assert main(["--strict", *command]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert "plugin bad" in said.err
    assert "no such disk" in said.err


def test_without_strict_the_others_answer(beside: Callable[..., None], capsys: Said) -> None:
    beside("bad", latewood_records=hookimpl(fails))
    assert main(["run", "coverage", *DECK, "--output", "volume", "--units", "us"]) == 0
    assert capsys.readouterr().out == "1.08866211 us_gal\n"
    assert main(["catalogue", "plugins", "bad"]) == 0
    assert "no such disk" in json.loads(capsys.readouterr().out)["error"]


def test_plugins_are_listed_with_why_any_is_left_out(beside: Callable[..., None], capsys: Said) -> None:
    assert main(["plugins"]) == 0
    assert capsys.readouterr().out.startswith("latewood (latewood ")
    beside("bad", latewood_records=hookimpl(fails))
    assert main(["plugins"]) == 1
    assert "bad (unknown unknown): left out: RuntimeError: no such disk" in capsys.readouterr().out
    assert main(["verify"]) == 0
    assert "plugin bad is left out: left out: RuntimeError" not in capsys.readouterr().out


def test_a_busy_port_is_said_with_the_remedy(capsys: Said) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert main(["serve", "--port", str(port)]) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == f"latewood: port {port} is already in use; choose another with --port\n"


@pytest.mark.parametrize(
    "given",
    [
        ("--workers", "1"),
        ("--workers", "two"),
        ("--budget", "0"),
        ("--notice", "-1"),
        ("--within", "0"),
        ("--within", "²"),
    ],
)
def test_serve_refuses_numbers_that_make_no_sense(given: tuple[str, str], capsys: Said) -> None:
    with pytest.raises(SystemExit) as ended:
        main(["serve", *given])
    assert ended.value.code == 2
    assert "is not a whole number from" in capsys.readouterr().err


@pytest.mark.parametrize(
    "given", ["security@deck.example", "http://deck.example/report", "mailto:", "ftp://deck.example"]
)
def test_serve_refuses_a_contact_that_security_txt_cannot_name(given: str, capsys: Said) -> None:
    assert main(["serve", "--contact", given]) == 1
    assert "--contact" in capsys.readouterr().err


def test_serve_says_what_to_install(monkeypatch: pytest.MonkeyPatch, capsys: Said) -> None:
    for name in [name for name in sys.modules if name.startswith("latewood_api.serv")]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "uvicorn", None)
    assert main(["serve"]) == 1
    assert "pip install 'latewood[api]'" in capsys.readouterr().err


@pytest.mark.parametrize("command", [["--help"], ["catalogue"], ["catalogue", "check"], ["run", "coverage", *DECK]])
@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_reader_that_has_seen_enough_is_no_fault(command: list[str], unbuffered: str) -> None:
    """Such as head: it closes the pipe while there is more to say."""
    ours, theirs = os.pipe()
    os.close(ours)
    program = "import sys; from latewood.cli import main; sys.exit(main(sys.argv[1:]))"
    done = subprocess.run(
        [sys.executable, "-c", program, *command],
        stdout=theirs,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONUNBUFFERED": unbuffered},
        check=False,
    )
    os.close(theirs)
    assert done.stderr == b""
    assert done.returncode == 0


def test_a_full_disk_is_said() -> None:
    program = "import sys; from latewood.cli import main; sys.exit(main(['catalogue']))"
    environment = {**os.environ, "PYTHONUNBUFFERED": ""}
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-c", program], stdout=full, stderr=subprocess.PIPE, env=environment, check=False
        )
    assert done.stderr == b"the output cannot be written: No space left on device\n"
    assert done.returncode == 1


def test_an_interrupt_while_the_engine_is_imported_ends_quietly() -> None:
    program = (
        "import os, signal, sys\n"
        "signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "signal.pthread_sigmask(signal.SIG_UNBLOCK, [signal.SIGINT])\n"
        "class Finder:\n"
        "    def find_spec(self, name, *_):\n"
        "        if name == 'numpy': os.kill(os.getpid(), signal.SIGINT)\n"
        "sys.meta_path.insert(0, Finder())\n"
        "from latewood.cli import main; sys.exit(main(['catalogue']))"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    assert (done.returncode, done.stdout, done.stderr) == (130, b"", b"")
