"""The command line: exit codes, streams, help, and terminals and readers of every kind."""

from __future__ import annotations

import argparse
import ast
import os
import resource
import shlex
import shutil
import subprocess
import sys
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import pytest

import quotegen
from quotegen.cli import parser
from tests.commands import Ran, a_choice, fingerprints, rewritten, run, spawn
from tests.folders import (
    a_part,
    a_quote,
    a_supplier,
    a_workshop,
    an_item,
    forms,
    written,
)

ROOT = Path(__file__).parents[1]
DEMO = ROOT / "quotes_demo"
DAY = ("--today", "2026-11-02")
WITH_JSON = ("check", "compare", "history")
BY = ("--agreed-by", "workshop lead")
BROKEN = "quotes/mill/mill-2.yaml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return written(a_choice(), tmp_path / "workshop")


@pytest.fixture
def broken(folder: Path) -> Path:
    """One quote of two has a price with two readings."""
    rewritten(folder / BROKEN, "10 EUR per 1", "1,000 EUR per 1")
    return folder


def _commands() -> dict[str, argparse.ArgumentParser]:
    (chooser,) = [each for each in parser()._actions if each.choices]  # noqa: SLF001
    return dict(chooser.choices or {})


# exit codes


@pytest.mark.parametrize(
    "words",
    [
        ("check",),
        ("check", "--json"),
        ("compare", "p"),
        ("compare", "p", "--json"),
        ("decide", "p", *BY),
        ("history", "p"),
        ("history", "p", "--json"),
    ],
    ids=" ".join,
)
def test_a_clean_folder_gives_0_and_a_silent_standard_error(
    folder: Path, words: tuple[str, ...]
) -> None:
    ran = run(*words, "--folder", folder)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out


def test_new_schema_and_report_give_0(tmp_path: Path) -> None:
    assert run("new", tmp_path / "w").code == 0
    assert run("schema", "--to", tmp_path / "schemas").code == 0
    ran = run("report", "--folder", tmp_path / "w")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.endswith("no errors, no notices\n")


MISUSES: dict[str, tuple[tuple[str, ...], str]] = {
    "no command": ((), "the following arguments are required: COMMAND"),
    "unknown command": (("weigh",), "invalid choice: 'weigh'"),
    "unknown option": (("check", "--weigh"), "unrecognized arguments: --weigh"),
    "option cut short": (("check", "--js"), "unrecognized arguments: --js"),
    "no part": (("compare",), "the following arguments are required: PART"),
    "bad day": (("check", "--today", "2026-13-01"), "'2026-13-01' is not a day such as"),
    "day in words": (("check", "--today", "tomorrow"), "'tomorrow' is not a day such as"),
    "day without lines": (("check", "--today", "20261102"), "'20261102' is not a day such as"),
    "day of the last year": (("compare", "p", "--today", "9999-12-31"), "'9999-12-31' is not a"),
    "missing folder": (("check", "--folder", "{folder}/none"), "there is no folder {folder}/none"),
    "file as folder": (
        ("compare", "p", "--folder", "{folder}/workshop.yaml"),
        "there is no folder {folder}/workshop.yaml",
    ),
    "new into a full folder": (("new", "{folder}"), "{folder} is not empty; nothing was written"),
    "new into a file": (("new", "{folder}/workshop.yaml"), "workshop.yaml: Not a directory"),
    "new below a file": (("new", "{folder}/workshop.yaml/w"), ": Not a directory"),
    "report to a file": (
        ("report", "--folder", "{folder}", "--to", "{folder}/workshop.yaml"),
        "workshop.yaml: File exists",
    ),
    "report over the folder": (
        ("report", "--folder", "{folder}", "--to", "."),
        ". holds the workshop folder itself; name a folder of its own, such as site",
    ),
    "report above the folder": (
        ("report", "--folder", "{folder}", "--to", "{folder}/.."),
        " holds the workshop folder itself",
    ),
    "report among the records": (
        ("report", "--folder", "{folder}", "--to", "quotes/mill"),
        "quotes/mill is for records; name a folder of its own, such as site",
    ),
    "report to no name": (
        ("report", "--folder", "{folder}", "--to", " "),
        "argument --to: the name of the folder is empty",
    ),
    "schema to a file": (
        ("schema", "--to", "{folder}/workshop.yaml"),
        "workshop.yaml: File exists",
    ),
    "nobody agreed": (
        ("decide", "p", "--folder", "{folder}"),
        "the following arguments are required: --agreed-by",
    ),
    "somebody without a name": (
        ("decide", "p", "--folder", "{folder}", "--agreed-by", "  "),
        "a record says who agreed: --agreed-by takes a role or a name",
    ),
    "another route without a reason": (
        ("decide", "p", "--folder", "{folder}", *BY, "--route", "mill/mill-2"),
        'say why it is another route than the recommended one: --because "..."',
    ),
    "a route that is not there": (
        ("decide", "p", "--folder", "{folder}", *BY, "--because", "x", "--route", "mill/mill-9"),
        "no route by mill/mill-9 can be signed; there is: foss/foss-1; mill/mill-2",
    ),
    "reopened without a reason": (
        ("decide", "p", "--folder", "{folder}", *BY, "--reopen"),
        'say why it is reopened: --because "..."',
    ),
    "reopened with a route": (
        (
            "decide",
            "p",
            "--folder",
            "{folder}",
            *BY,
            "--reopen",
            "--because",
            "x",
            "--route",
            "a/b",
        ),
        "to reopen a decision names no route: leave --route out",
    ),
}


@pytest.mark.parametrize("name", MISUSES)
def test_a_misuse_gives_2_says_why_on_standard_error_and_changes_nothing(
    name: str, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(folder)
    before = fingerprints(folder)
    words, expected = MISUSES[name]
    ran = run(*(word.format(folder=folder) for word in words))
    assert (ran.code, ran.out) == (2, "")
    assert expected.format(folder=folder) in ran.err
    assert fingerprints(folder) == before


@pytest.mark.parametrize(
    "words",
    [
        ("check",),
        ("compare", "p"),
        ("history", "p"),
        ("decide", "p", *BY),
        ("decide", "nothing", *BY),
    ],
    ids=" ".join,
)
def test_an_error_in_the_folder_gives_1_and_is_told_with_its_place(
    broken: Path, words: tuple[str, ...]
) -> None:
    ran = run(*words, "--folder", broken)
    assert ran.code == 1
    told = ran.out if words == ("check",) else ran.err
    assert f"{BROKEN}:12:12: two-readings: items 1, prices 1, price: '1,000 EUR per 1'" in told


def test_a_report_of_a_folder_with_an_error_gives_1_and_is_written(broken: Path) -> None:
    ran = run("report", "--folder", broken)
    assert ran.code == 1
    assert f"{BROKEN}:12:12: two-readings: " in ran.err
    assert ran.out.endswith("1 error, no notices\n")
    assert "Foss Castings" in (broken / "site/parts/p.html").read_text(encoding="utf-8")


@pytest.mark.parametrize("words", [("compare", "q"), ("history", "q"), ("decide", "q", *BY)])
def test_an_unknown_part_gives_1_and_the_known_ones(folder: Path, words: tuple[str, ...]) -> None:
    ran = run(*words, "--folder", folder)
    assert ran.code == 1
    assert "parts: part-unknown: part: there is no part 'q'; known here: p.\n" in ran.err
    assert not (folder / "decisions").exists()


@pytest.mark.parametrize("part", ["../parts/p", "/etc/passwd", ".", "", "p\x00", "P", "p" * 500])
def test_a_part_that_is_no_name_is_an_unknown_part_and_no_path(folder: Path, part: str) -> None:
    """A part on the command line never leads out of the folder."""
    for words in (("compare", part), ("history", part), ("decide", part, *BY)):
        ran = run(*words, "--folder", folder)
        assert ran.code == 1
        assert "part-unknown" in ran.err


def _edit(records: Path) -> None:
    rewritten(records / "0002.md", "agreed by: me", "agreed by: you")


def _lose(records: Path) -> None:
    (records / "0001.md").unlink()


def _fork(records: Path) -> None:
    """Two people decided after the same record, and one renamed his file to bring both in."""
    shutil.copy(records / "0002.md", records / "0003.md")


def _misname(records: Path) -> None:
    records.rename(records.parent / "pp")


TOUCHES = {
    "record-edited": (_edit, "fingerprint: expected sha256:"),
    "record-gap": (_lose, "0001: missing among the records of p; expected every number from 0001"),
    "record-fork": (_fork, "previous: the same as in 0002.md; two records follow the same one."),
    "record-part-unknown": (
        _misname,
        "part: there are records for 'pp', but no such part; did you mean 'p'?",
    ),
}


@pytest.mark.parametrize("code", TOUCHES)
def test_check_shows_records_that_somebody_touched(folder: Path, code: str) -> None:
    for route in ("foss/foss-1", "mill/mill-2"):
        words = ("--agreed-by", "me", "--because", "x", "--route", route)
        assert run("decide", "p", "--folder", folder, *words).code == 0
    assert run("check", "--folder", folder).code == 0
    touch, expected = TOUCHES[code]
    touch(folder / "decisions/p")
    ran = run("check", "--folder", folder)
    assert ran.code == 1
    assert f": {code}: {expected}" in ran.out


def test_a_notice_alone_gives_0(folder: Path) -> None:
    (folder / "quotes/mill/notes.csv").write_text("call them\n", encoding="utf-8")
    ran = run("check", "--folder", folder)
    assert ran.code == 0
    assert ran.out.startswith("quotes/mill/notes.csv: file-not-read (notice): ")
    assert ran.out.endswith("no errors, 1 notice\n")


# JSON


@pytest.mark.parametrize("command", WITH_JSON)
def test_json_stays_json_when_there_are_errors(broken: Path, command: str) -> None:
    part = () if command == "check" else ("p",)
    ran = run(command, *part, "--folder", broken, "--json")
    assert (ran.code, ran.err) == (1, "")
    (problem,) = ran.json["problems"]
    assert problem == {
        "code": "two-readings",
        "severity": "error",
        "place": f"{BROKEN}:12:12",
        "message": "items 1, prices 1, price: '1,000 EUR per 1' can be read as 1 or 1000.",
        "happens": "Item 1 (part p) of the quote mill-2 is left out.",
        "remedy": ("Write it without a thousands sign, or declare the decimal sign of the file."),
    }


@pytest.mark.parametrize("command", ["compare", "history"])
def test_json_for_an_unknown_part_names_it_and_the_problem(folder: Path, command: str) -> None:
    ran = run(command, "q", "--folder", folder, "--json")
    assert (ran.code, ran.err) == (1, "")
    assert ran.json["part"] == "q"
    assert [each["code"] for each in ran.json["problems"]] == ["part-unknown"]


def test_json_of_an_empty_folder_is_json(tmp_path: Path) -> None:
    ran = run("check", "--json", "--folder", tmp_path)
    assert ran.code == 1
    assert [each["code"] for each in ran.json["problems"]] == ["workshop-missing"]


# help


def test_every_command_and_every_option_says_what_it_is_for() -> None:
    commands = _commands()
    told = "new check compare report decide history ask take schema"
    assert list(commands) == told.split()
    for name, command in commands.items():
        assert command.description, name
        unexplained = [each.dest for each in command._actions if not each.help]  # noqa: SLF001
        assert unexplained == [], name


@pytest.mark.parametrize("name", list(_commands()))
def test_help_shows_every_argument_and_an_example_that_can_be_typed(name: str) -> None:
    ran = run(name, "--help")
    assert (ran.code, ran.err) == (0, "")
    for action in _commands()[name]._actions:  # noqa: SLF001
        assert all(each in ran.out for each in action.option_strings or [str(action.metavar)])
    example = str(_commands()[name].epilog).removeprefix("Example: quotegen ")
    assert parser().parse_args(shlex.split(example)).run.__name__ == f"_{name}"


def test_help_names_every_command_and_where_to_begin() -> None:
    ran = run("--help")
    assert ran.code == 0
    for name, command in _commands().items():
        first = str(command.description).split(". ", maxsplit=1)[0].rstrip(".")
        assert f"    {name:<9} {first[0].lower()}{first[1:]}\n" in ran.out
    assert "Begin with `quotegen new my-workshop`" in ran.out


def test_version_is_that_of_the_package() -> None:
    assert run("--version") == Ran(code=0, out=f"quotegen {quotegen.__version__}\n", err="")


# what a terminal must not be told

HOSTILE = "x\x1b[2J\x07\x9b31m\nchosen: buy it\r\u202egnp.\u2066\ufeff\u0085y\x7f"


def _unseen(text: str) -> list[str]:
    """The marks in a text that a terminal may obey, or that cannot be seen on it."""
    return sorted(
        {
            repr(mark)
            for mark in text
            if mark != "\n" and unicodedata.category(mark) in {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}
        }
    )


@pytest.fixture
def hostile(tmp_path: Path) -> Path:
    """A folder whose owner was sent escape sequences in every text that is free."""
    item = an_item("10 EUR per 1", note=HOSTILE)
    content = forms(
        a_quote("mill-2", item, note=HOSTILE),
        workshop=a_workshop(name=HOSTILE, compared_on="2026-11-02"),
        part=a_part(name=HOSTILE, revision="A", material=HOSTILE),
        suppliers={"mill": a_supplier(name=HOSTILE)},
    )
    return written(content, tmp_path / "workshop")


@pytest.mark.parametrize(
    "words",
    [
        ("check",),
        ("compare", "p"),
        ("decide", "p", "--agreed-by", HOSTILE, "--because", HOSTILE),
        ("decide", "p", *BY, "--route", HOSTILE, "--because", "x"),
        ("compare", HOSTILE),
        ("history", HOSTILE),
        ("check", HOSTILE),
        (HOSTILE,),
        ("check", "--today", HOSTILE),
        ("new", "{folder}/" + HOSTILE.replace("\x00", "")),
        ("schema", "--to", "{folder}/" + HOSTILE),
    ],
    ids=lambda words: ascii(" ".join(words))[:40],
)
def test_nothing_that_a_terminal_obeys_is_printed(hostile: Path, words: tuple[str, ...]) -> None:
    given = [word.format(folder=hostile) for word in words]
    if words[0] in {"check", "compare", "decide", "history"}:
        given += ["--folder", str(hostile)]
    ran = run(*given)
    assert _unseen(ran.out + ran.err) == []
    assert "\nchosen: buy it" not in ran.out + ran.err


def test_a_text_of_several_lines_forges_no_line_of_ours(hostile: Path) -> None:
    """The name of a part stands on one line, so that it cannot pass for a recommendation."""
    lines = run("compare", "p", "--folder", hostile).out.split("\n")
    assert [line for line in lines if line.startswith("chosen")] == [lines[1]]
    assert "chosen: buy it" in lines[0]


def test_history_shows_hostile_names_harmlessly(hostile: Path) -> None:
    decided = run("decide", "p", "--folder", hostile, "--agreed-by", HOSTILE)
    assert decided.code == 0, decided.err
    ran = run("history", "p", "--folder", hostile)
    assert ran.code == 0
    assert _unseen(ran.out) == []


@pytest.mark.parametrize("command", ["compare", "history"])
def test_json_is_ascii_and_says_the_text_all_the_same(hostile: Path, command: str) -> None:
    run("decide", "p", "--folder", hostile, *BY)
    ran = run(command, "p", "--folder", hostile, "--json")
    assert ran.code == 0
    assert ran.out.isascii()
    assert _unseen(ran.out) == []
    if command == "compare":
        assert ran.json["name"] == HOSTILE


def test_a_file_whose_name_is_no_text_is_told_and_not_choked_on(folder: Path) -> None:
    """A name in bytes that are no UTF-8, as an old archive may leave behind."""
    (folder / os.fsdecode(b"parts/p\xe9\x1b[1m.yaml")).write_text("format: 1\n")
    for words in (("check",), ("check", "--json"), ("compare", "p")):
        ran = run(*words, "--folder", folder)
        assert ran.code == 1
        assert "bad-name" in ran.out + ran.err
        assert _unseen(ran.out + ran.err) == []


# terminals and readers of every kind


@pytest.fixture
def foreign(tmp_path: Path) -> Path:
    """Names with letters that ASCII and Latin-1 lack."""
    content = forms(
        a_quote("mill-2", an_item("10 EUR per 1")),
        workshop=a_workshop(name="Łódź", compared_on="2026-11-02"),
        part=a_part(name="Sperrklinke für Bäume ✓"),
        suppliers={"mill": a_supplier(name="Młyn 水車")},
    )
    return written(content, tmp_path / "workshop")


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8", "cp437"])
@pytest.mark.parametrize("words", [("compare", "p"), ("compare", "p", "--json"), ("check",)])
def test_a_terminal_that_lacks_letters_gets_the_rest(
    foreign: Path, words: tuple[str, ...], encoding: str
) -> None:
    ran = run(*words, "--folder", foreign, encoding=encoding)
    assert ran.code == 0
    if words == ("compare", "p"):
        shown = "Sperrklinke für Bäume ✓".encode(encoding, "backslashreplace").decode(encoding)
        assert ran.out.startswith(f"p, {shown}, revision A\n")


@pytest.mark.parametrize(
    "env",
    [
        {"LC_ALL": "C", "PYTHONCOERCECLOCALE": "0", "PYTHONUTF8": "0"},
        {"PYTHONIOENCODING": "ascii"},
        {"LC_ALL": "POSIX"},
    ],
    ids=str,
)
def test_a_process_in_a_plain_locale_reads_and_prints_what_others_do(
    foreign: Path, env: dict[str, str]
) -> None:
    ran = spawn("compare", "p", "--folder", foreign, env=env)
    assert (ran.code, ran.err) == (0, "")
    assert "10.00" in ran.out
    assert ran.out.startswith("p, Sperrklinke f")


def _to_a_closed_reader(folder: Path, words: tuple[str, ...], unbuffered: str) -> Ran:
    reader, writer = os.pipe()
    os.close(reader)
    try:
        env = {"PYTHONUNBUFFERED": unbuffered}
        return spawn(*words, "--folder", folder, env=env, stdout=writer)
    finally:
        os.close(writer)


@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_reader_that_went_away_is_no_error(folder: Path, unbuffered: str) -> None:
    """As `quotegen compare p | head -1` does."""
    ran = _to_a_closed_reader(folder, ("compare", "p"), unbuffered)
    assert ran == Ran(code=0, out="", err="")


@pytest.mark.parametrize("unbuffered", ["", "1"])
def test_a_reader_that_went_away_hides_no_error(broken: Path, unbuffered: str) -> None:
    ran = _to_a_closed_reader(broken, ("check",), unbuffered)
    assert ran == Ran(code=1, out="", err="")


def test_help_for_a_reader_that_went_away_ends_in_peace() -> None:
    reader, writer = os.pipe()
    os.close(reader)
    ran = spawn("--help", stdout=writer)
    os.close(writer)
    assert ran == Ran(code=0, out="", err="")


def test_results_that_find_no_room_are_an_error(folder: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        ran = spawn("compare", "p", "--folder", folder, stdout=full)
    assert ran == Ran(code=1, out="", err="quotegen: No space left on device\n")


# disks that refuse

WITHOUT_ROOTS_PRIVILEGE = ("setpriv", "--bounding-set=-dac_override,-dac_read_search")
AS_A_USER = WITHOUT_ROOTS_PRIVILEGE if os.geteuid() == 0 else ()


@pytest.fixture
def closed(tmp_path: Path) -> Iterator[Path]:
    """A folder that may be read only. Root gives up its right to write everywhere."""
    if AS_A_USER and shutil.which(AS_A_USER[0]) is None:
        pytest.skip("setpriv is not here, and root may write anywhere")
    folder = tmp_path / "closed"
    folder.mkdir()
    folder.chmod(0o555)
    yield folder
    folder.chmod(0o755)


@pytest.mark.parametrize("to", [".", "site"])
def test_a_report_to_a_folder_that_may_be_read_only_is_an_error(
    folder: Path, closed: Path, to: str
) -> None:
    ran = spawn("report", "--folder", folder, "--to", closed / to, wrapper=AS_A_USER)
    assert ran.code == 1
    assert "Permission denied" in ran.err
    assert "Traceback" not in ran.err
    assert fingerprints(closed) == {}


@pytest.mark.parametrize("words", [("new",), ("schema", "--to")], ids=" ".join)
def test_a_place_that_may_be_read_only_is_an_error(closed: Path, words: tuple[str, ...]) -> None:
    ran = spawn(*words, closed / "w", wrapper=AS_A_USER)
    assert ran == Ran(code=1, out="", err=f"quotegen: {closed / 'w'}: Permission denied\n")


def _no_file_may_grow() -> None:
    resource.setrlimit(resource.RLIMIT_FSIZE, (100, 100))


def test_a_disk_that_fails_during_decide_leaves_no_record_and_no_remains(folder: Path) -> None:
    """The file would be larger than the system allows, as on a disk that is full."""
    before = fingerprints(folder)
    env = {"PYTHONDONTWRITEBYTECODE": "1"}  # Python takes a cut file of its own for a whole one
    ran = spawn("decide", "p", "--folder", folder, *BY, env=env, preexec_fn=_no_file_may_grow)
    assert ran.code == 1
    assert (ran.out, ran.err) == ("", "quotegen: File too large\n")
    after = {name: each for name, each in fingerprints(folder).items() if "decisions" not in name}
    assert after == before
    assert [path.name for path in (folder / "decisions/p").iterdir()] == []
    assert run("decide", "p", "--folder", folder, *BY).code == 0
    assert [path.name for path in (folder / "decisions/p").iterdir()] == ["0001.md"]


def test_whoever_stops_a_command_gets_one_line(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def stopped(*_: object, **__: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("quotegen.study.study", stopped)
    assert run("check", "--folder", folder) == Ran(code=130, out="", err="quotegen: stopped\n")


# the same everywhere

PRINT_ALL = """
import sys
from quotegen.cli import main
folder, *parts = sys.argv[1:]
for part in parts:
    main(["compare", part, "--folder", folder, "--json"])
main(["compare", parts[0], "--folder", folder])
main(["history", parts[0], "--folder", folder, "--json"])
main(["check", "--folder", folder])
"""
PLACES: tuple[dict[str, str], ...] = (
    {"PYTHONHASHSEED": "0", "TZ": "Pacific/Kiritimati", "LANG": "C.UTF-8"},
    {"PYTHONHASHSEED": "4711", "TZ": "America/Adak", "LC_ALL": "de_DE.UTF-8", "COLUMNS": "40"},
)


def test_the_same_bytes_whatever_hash_seed_time_zone_and_language() -> None:
    """Some parts of the demo, whose day is fixed: a choice, an open answer, a tie."""
    parts = ("fl-021", "fl-063", "wm-008")
    first, second = (_python(PRINT_ALL, str(DEMO), *parts, env=env, cwd=ROOT) for env in PLACES)
    assert first.stdout.count('"recommendation"') == len(parts)
    assert (first.stdout, first.stderr) == (second.stdout, second.stderr)


def _python(
    script: str, *arguments: str, env: dict[str, str], cwd: Path
) -> subprocess.CompletedProcess[str]:
    done = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=cwd,
        env={"PATH": os.defpath, "PYTHONPATH": str(ROOT), **env},
        check=False,
        capture_output=True,
        encoding="utf-8",
    )
    assert done.returncode == 0, done.stderr[-4000:]
    return done


ANY_CLOCK = {"now", "today", "utcnow"}
CLOCKS = {f"time.{name}" for name in ("time", "time_ns", "localtime", "gmtime", "ctime")}
SURROUNDINGS = {"os.environ", "os.getenv", "locale", "socket", "getpass", "platform"}
CHANCE = {"random", "secrets", "uuid", "numpy.random", "np.random"}
BY_THE_WAY = CLOCKS | SURROUNDINGS | CHANCE


def _looks(path: Path) -> Iterator[str]:
    """Each look at a clock, at the surroundings or at chance: the file and what is looked at."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        called = node.func if isinstance(node, ast.Call) else None
        if isinstance(called, ast.Attribute) and called.attr in ANY_CLOCK:
            yield f"{path.name}: {called.attr}"
        for name in _named(node) & BY_THE_WAY:
            yield f"{path.name}: {name}"


def _named(node: ast.AST) -> set[str]:
    """The dotted names that a node uses or imports."""
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
        return {f"{node.value.id}.{node.attr}"}
    if isinstance(node, ast.Import):
        return {alias.name for alias in node.names}
    if isinstance(node, ast.ImportFrom):
        return {node.module or "", *(f"{node.module}.{alias.name}" for alias in node.names)}
    return set()


def test_the_clock_is_read_where_a_person_begins_and_nothing_depends_on_chance() -> None:
    """The command line and a notebook read the clock; children that print get our surroundings."""
    sources = sorted((ROOT / "quotegen").rglob("*.py"))
    found = {each for path in sources for each in _looks(path)}
    assert found == {"cli.py: now", "notebook.py: now", "presses.py: os.environ"}


@pytest.mark.parametrize(
    "line",
    [
        "import datetime; datetime.date.today()",
        "from datetime import datetime; datetime.now(tz=None)",
        "import time; time.time()",
        "from time import time",
        "import os; os.environ['TZ']",
        "import os; os.getenv('TZ')",
        "import random",
        "from uuid import uuid4",
    ],
)
def test_a_look_at_the_clock_or_the_surroundings_is_seen(tmp_path: Path, line: str) -> None:
    path = tmp_path / "sneaky.py"
    path.write_text(line, encoding="utf-8")
    assert len(list(_looks(path))) == 1


# only what is needed

HEAVY = {
    "pydantic",
    "numpy",
    "pandas",
    "jinja2",
    "weasyprint",
    "openpyxl",
    "xlsxwriter",
    "tabulate",
    "tqdm",
    "markdown",
    "nh3",
    "fontTools",
}


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        ("--help", ""),
        ("check --folder nowhere", ""),
        ("compare p --json", "numpy pydantic"),
        ("compare p", "numpy pydantic tabulate"),
        ("check", "numpy pydantic tabulate"),
        ("schema", "pydantic"),
    ],
)
def test_a_command_loads_only_the_heavy_libraries_that_it_needs(
    folder: Path, words: str, needed: str
) -> None:
    script = (
        "import sys\nfrom quotegen.cli import main\nmain(sys.argv[1:])\n"
        "print(*sorted(name for name in sys.modules if '.' not in name), file=sys.stderr)"
    )
    done = _python(script, *words.split(), env={}, cwd=folder)
    assert set(done.stderr.splitlines()[-1].split()) & HEAVY == set(needed.split())
