"""README and DEVELOPERS say what is so: commands run, examples hold, paths lead somewhere."""

from __future__ import annotations

import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from quotegen.cli import parser
from tests.commands import rewritten, run

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
MAKEFILE = (ROOT / "Makefile").read_text(encoding="utf-8")
STARTER = ROOT / "templates" / "starter"
QUOTE = "quotes/example-foundry/f-1.yaml"


def section(text: str, heading: str) -> str:
    """What stands under a heading, up to the next one of its level."""
    return text.split(f"\n## {heading}\n", maxsplit=1)[1].split("\n## ", maxsplit=1)[0]


def indented(text: str) -> list[str]:
    """The blocks that are indented by four blanks, without them."""
    blocks = re.findall(r"(?:^    .*\n|^\n(?=    ))+", text + "\n", re.MULTILINE)
    stripped = (re.sub(r"^    ", "", block, flags=re.MULTILINE).strip("\n") for block in blocks)
    return [block for block in stripped if block]


def ticked(text: str) -> set[str]:
    """What stands in backticks within one line."""
    return set(re.findall(r"`([^`\n]+)`", text))


# README


@pytest.fixture
def machine(tmp_path: Path) -> Path:
    """A folder with .venv in it, as the README takes it."""
    (tmp_path / ".venv").symlink_to(sys.prefix)
    return tmp_path


def _shell(script: str, where: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        ["/bin/bash", "-c", script],
        cwd=where,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def test_the_commands_for_your_own_workshop_run_one_after_the_other(machine: Path) -> None:
    (script,) = indented(section(README, "Your own workshop"))
    commands = script.splitlines()
    assert len(commands) == 9
    done = _shell("set -e\n" + script, machine)
    assert (done.returncode, done.stderr) == (0, "")
    assert "no errors, no notices" in done.stdout
    assert (machine / "my-workshop/site/index.html").is_file()
    assert (machine / "my-workshop/decisions/bracket/0001.md").is_file()
    assert list((machine / "my-workshop/requests/bracket").rglob("bracket-answer.xlsx"))
    assert (machine / "my-workshop/quotes/example-shop/offer.yaml").is_file()
    assert list((machine / "schemas").glob("*.schema.json"))


def test_the_readme_names_every_command() -> None:
    (script,) = indented(section(README, "Your own workshop"))
    named = re.findall(r"^\.venv/bin/quotegen (\w+)", script, re.MULTILINE)
    (chooser,) = [each for each in parser()._actions if each.choices]  # noqa: SLF001
    assert sorted(named) == sorted(chooser.choices or {})


def test_every_option_that_the_readme_names_is_one() -> None:
    helps = "".join(
        run(name, "--help").out for name in ("ask", "take", "check", "compare", "history", "decide")
    )
    helps += run("report", "--help").out + run("--help").out
    for option in re.findall(r"`(--[a-z-]+)`", README):
        assert option in helps
    told = "`check`, `compare` and `history` print JSON with `--json`."
    assert told in README
    for name in ("new", "check", "compare", "report", "decide", "history", "ask", "schema"):
        assert ("--json" in run(name, "--help").out) == (f"`{name}`" in told)


def test_the_two_commands_are_targets_of_make() -> None:
    (script,) = indented(section(README, "Two commands"))
    assert [line.split("#")[0].split() for line in script.splitlines()] == [
        ["make", "demo"],
        ["make", "test"],
    ]
    recipe = re.search(r"^demo:.*\n\t(.*)\n", MAKEFILE, re.MULTILINE)
    assert recipe is not None
    assert recipe[1] == "$(BIN)/quotegen report --folder quotes_demo --to site"


def test_the_quote_that_is_shown_stands_in_the_first_folder() -> None:
    """Some lines are left out for brevity; none says anything else."""
    (shown,) = indented(section(README, "What a quote file looks like"))
    form = yaml.safe_load((STARTER / QUOTE).read_text(encoding="utf-8"))
    assert list(_contradictions(yaml.safe_load(shown), form, "")) == []
    assert f"`{QUOTE}`" in README


def _contradictions(shown: Any, form: Any, at: str) -> Iterator[str]:
    if isinstance(shown, dict) and isinstance(form, dict):
        for key, value in shown.items():
            if key in form:
                yield from _contradictions(value, form[key], f"{at}/{key}")
            else:
                yield f"{at}/{key} is not in the form"
    elif isinstance(shown, list) and isinstance(form, list) and len(shown) == len(form):
        for number, (one, other) in enumerate(zip(shown, form, strict=True)):
            yield from _contradictions(one, other, f"{at}/{number}")
    elif shown != form:
        yield f"{at}: {shown!r} is {form!r} in the form"


def test_a_shown_value_that_is_another_one_is_seen() -> None:
    assert list(_contradictions({"a": [{"b": 1, "c": 2}]}, {"a": [{"b": 2}]}, "")) == [
        "/a/0/b: 1 is 2 in the form",
        "/a/0/c is not in the form",
    ]


def test_the_quote_that_is_shown_can_be_read(tmp_path: Path) -> None:
    (shown,) = indented(section(README, "What a quote file looks like"))
    shutil.copytree(STARTER, tmp_path / "w")
    (tmp_path / "w" / QUOTE).write_text(shown + "\n", encoding="utf-8")
    assert run("check", "--folder", tmp_path / "w").out == "no errors, no notices\n"
    compared = run("compare", "bracket", "--folder", tmp_path / "w", "--json")
    assert "example-foundry/F-1" in [offer["quote"] for offer in compared.json["offers"]]


def test_the_error_that_is_shown_is_what_the_program_prints(machine: Path) -> None:
    """Byte by byte, after the slip that the text before it names."""
    text = section(README, "What an error looks like")
    (shown,) = indented(text)
    prompt, printed = shown.split("\n", maxsplit=1)
    assert prompt == "$ .venv/bin/quotegen check --folder my-workshop"
    slip = re.search(r"`(price: [^`]+)`", text)
    assert slip is not None
    shutil.copytree(STARTER, machine / "my-workshop")
    rewritten(machine / "my-workshop" / QUOTE, "price: 1900 EUR", slip[1])
    done = _shell(prompt.removeprefix("$ "), machine)
    assert (done.returncode, done.stderr) == (1, "")
    assert done.stdout == printed + "\n"


def test_exit_codes_are_those_that_the_readme_states() -> None:
    told = (
        "The exit code is 0 when there is no error, 1 with errors, 2 when the command was misused."
    )
    assert told in README
    assert run("check", "--folder", STARTER).code == 0
    assert run("compare", "nothing", "--folder", STARTER).code == 1
    assert run("check", "--folder", STARTER / "none").code == 2


def test_every_link_of_the_readme_leads_to_a_file() -> None:
    links = [link for link in re.findall(r"\]\(([^)]+)\)", README) if "://" not in link]
    assert links
    assert [link for link in links if not (ROOT / link).is_file()] == []


def test_the_packages_that_the_readme_names_are_those_that_make_installs() -> None:
    setup = (ROOT / ".ci" / "setup").read_text(encoding="utf-8")
    for package in ("python3-venv", "libpangoft2-1.0-0", "libharfbuzz-subset0"):
        assert f"`{package}`" in README
        assert package in setup


# DEVELOPERS


def _words(text: str) -> Iterator[str]:
    """Every word in backticks that looks like a path: with a slash, or with a known ending."""
    for words in sorted(ticked(text)):
        for word in shlex.split(words):
            if re.search(r"/|\.(?:py|md|html|css|yaml|toml)$", word) and "=" not in word:
                yield word


# By commands, or by the reader.
WRITTEN_LATER = {
    ".venv/bin/python",
    "decisions/",
    "layouts.yaml",
    "my-workshop/offer.csv",
    "requests/",
    "site/index.html",
}
HOMES = (ROOT, *(ROOT / "quotegen" / each for each in ("", "plan", "report")), STARTER)


def _leads_nowhere(word: str) -> bool:
    return not any(list(home.glob(word.rstrip("/"))) for home in HOMES)


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_path_that_is_named_is_there(text: str) -> None:
    named = [word for word in _words(text) if word not in WRITTEN_LATER]
    assert named
    assert [word for word in named if _leads_nowhere(word)] == []


def test_folders_and_files_are_told_from_other_words() -> None:
    text = "`a/b.py`, `make test`, `python -m pytest tests/costing -q`, `at`, `x_checks.py`, `c/`"
    assert list(_words(text)) == ["a/b.py", "c/", "tests/costing", "x_checks.py"]
    assert _leads_nowhere("intake/weighing.py")
    assert not _leads_nowhere("intake/*_checks.py")


@pytest.mark.parametrize("text", [README, DEVELOPERS], ids=["README", "DEVELOPERS"])
def test_every_make_that_is_named_is_a_target(text: str) -> None:
    targets = set(re.findall(r"^([a-z-]+):", MAKEFILE, re.MULTILINE))
    named = set(re.findall(r"\bmake ([a-z-]+)", "\n".join([*ticked(text), *indented(text)])))
    assert named
    assert named <= targets


def test_one_floor_of_tests_can_be_run_as_told() -> None:
    (command,) = [each for each in ticked(DEVELOPERS) if "pytest" in each]
    words = shlex.split(command)
    assert words[:3] == [".venv/bin/python", "-m", "pytest"]
    done = subprocess.run(
        [sys.executable, *words[1:], "--collect-only", "-p", "no:cacheprovider"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 0, done.stdout[-2000:]


def test_the_stages_are_told_in_the_order_of_the_floors() -> None:
    """The table of the flow names every room of the house that is a stage, lowest first."""
    told = re.findall(r"^\| (\w+) \|", section(DEVELOPERS, "The flow"), re.MULTILINE)
    stages = [name for name in told if name != "stage"]
    assert stages == [
        "basics",
        "model",
        "fit",
        "intake",
        "taking",
        "costing",
        "compare",
        "plan",
        "judge",
        "asking",
        "record",
        "report",
    ]
    rooms = {path.parent.name for path in (ROOT / "quotegen").glob("*/__init__.py")}
    assert set(stages) == rooms


def test_what_must_pass_is_what_runs_on_every_change() -> None:
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert re.findall(r"^make (\w+)", script, re.MULTILINE) == ["lint", "test", "demo"]
    assert (ROOT / ".ci" / "run").stat().st_mode & 0o100
