"""The command line: read arguments, call one function, print. No logic lives here."""

from __future__ import annotations

import argparse
import datetime
import io
import json
import os
import sys
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import Any, NoReturn, TextIO

from quotegen import __version__
from quotegen.basics.visible import visible

CLEAN, PROBLEMS, MISUSE, STOPPED = 0, 1, 2, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns 0 when there is no error, 1 with errors, 2 on misuse."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):  # a letter that it lacks must not stop us
            stream.reconfigure(errors="backslashreplace")
    try:
        asked = parser().parse_args(arguments)
    except SystemExit as told:  # --help and --version, and misuse that is explained already
        return _let_out(int(told.code or CLEAN))
    return _let_out(_run(asked))


def _run(asked: argparse.Namespace) -> int:
    folder = getattr(asked, "folder", None)
    if folder is not None and not folder.is_dir():
        return _misuse(f"there is no folder {folder}")
    try:
        code: int = asked.run(asked)
    except (FileExistsError, NotADirectoryError) as error:
        return _misuse(f"{error.filename}: {error.strerror}")
    except OSError as error:
        return _failed(error)
    except KeyboardInterrupt:
        _write("quotegen: stopped", sys.stderr)
        return STOPPED
    return code


class _Parser(argparse.ArgumentParser):
    """Option names are never guessed from their beginning, and what was typed is shown safely."""

    def __init__(self, **settings: Any) -> None:
        super().__init__(allow_abbrev=False, **settings)

    def error(self, message: str) -> NoReturn:
        super().error(visible(message))


def parser() -> argparse.ArgumentParser:
    """All commands; each has a --help that teaches with an example."""
    top = _Parser(
        prog="quotegen",
        description="Brings supplier quotes for your own parts to one footing, "
        "recommends a route for each part, and writes the report a partner can sign.",
        epilog="Begin with `quotegen new my-workshop`, then `quotegen check`.",
    )
    top.add_argument("--version", action="version", version=f"quotegen {__version__}")
    commands = top.add_subparsers(title="commands", metavar="COMMAND", required=True)
    for add in (_add_new, _add_check, _add_compare, _add_report, _add_decide, _add_history):
        add(commands)
    _add_ask(commands)
    _add_take(commands)
    _add_schema(commands)
    return top


Commands = Any


def _command(
    commands: Commands, name: str, run: Callable[[argparse.Namespace], int], told: str, example: str
) -> argparse.ArgumentParser:
    added: argparse.ArgumentParser = commands.add_parser(
        name,
        help=told[0].lower() + told.split(". ", maxsplit=1)[0].rstrip(".")[1:],
        description=told,
        epilog=f"Example: {example}",
    )
    added.set_defaults(run=run)
    return added


def _with_folder(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--folder",
        type=Path,
        default=Path(),
        metavar="DIR",
        help="the workshop folder (default: this folder)",
    )


def _with_day(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--today",
        type=_day,
        metavar="YYYY-MM-DD",
        help="the day of the comparison (default: `compared on` of workshop.yaml, else today)",
    )


def _with_json(command: argparse.ArgumentParser) -> None:
    command.add_argument("--json", action="store_true", help="print JSON for scripts")


def _folder_name(text: str) -> Path:
    if not text.strip():
        raise argparse.ArgumentTypeError("the name of the folder is empty")
    return Path(text)


def _day(text: str) -> datetime.date:
    """A day of this age, in the one way of writing that the forms have as well."""
    try:
        day = datetime.date.fromisoformat(text)
    except ValueError:
        day = datetime.date.min
    if day.isoformat() != text or not 1900 <= day.year < 2200:
        raise argparse.ArgumentTypeError(f"'{text}' is not a day such as 2027-03-15")
    return day


def _add_new(commands: Commands) -> None:
    command = _command(
        commands,
        "new",
        _new,
        "Start a workshop folder. Writes one form of each kind with notes to fill in.",
        "quotegen new my-workshop",
    )
    command.add_argument("target", type=Path, metavar="FOLDER", help="a new or empty folder")


def _add_check(commands: Commands) -> None:
    command = _command(
        commands,
        "check",
        _check,
        "Read every file and show all problems. Errors leave something out of the answer; "
        "notices only tell.",
        "quotegen check --folder my-workshop",
    )
    _with_folder(command)
    _with_day(command)
    _with_json(command)


def _add_compare(commands: Commands) -> None:
    command = _command(
        commands,
        "compare",
        _compare,
        "Compare the offers for one part. Shows them on one footing, the cheapest route by "
        "quantity, the recommendation and what to ask.",
        "quotegen compare pawl --folder my-workshop",
    )
    command.add_argument("part", metavar="PART", help="the name of a file under parts/")
    _with_folder(command)
    _with_day(command)
    _with_json(command)


def _add_report(commands: Commands) -> None:
    command = _command(
        commands,
        "report",
        _report,
        "Write the site, the PDFs and the tables. Only files that an earlier report wrote "
        "are replaced.",
        "quotegen report --folder my-workshop --to site",
    )
    _with_folder(command)
    command.add_argument(
        "--to",
        type=_folder_name,
        metavar="DIR",
        help="where to write (default: site in the folder)",
    )
    _with_day(command)


def _add_decide(commands: Commands) -> None:
    command = _command(
        commands,
        "decide",
        _decide,
        "Put a decision on record. Writes a new file under decisions/ that is never edited "
        "afterwards, with the figures and the evidence it rests on.",
        'quotegen decide pawl --agreed-by "workshop lead" --because "the die pays back"',
    )
    command.add_argument("part", metavar="PART", help="the name of a file under parts/")
    command.add_argument(
        "--agreed-by", required=True, metavar="NAME", help="who agreed: a role or a name"
    )
    command.add_argument(
        "--because",
        default="",
        metavar="REASON",
        help="the reason in your own words; needed to reopen, for another route than the "
        "recommended one, and where none is recommended",
    )
    command.add_argument(
        "--route",
        nargs="+",
        default=(),
        metavar="QUOTE",
        help="the route where none is recommended, or another one: its quotes, in order",
    )
    command.add_argument(
        "--reopen", action="store_true", help="reopen the latest decision instead of deciding"
    )
    _with_folder(command)
    _with_day(command)


def _add_history(commands: Commands) -> None:
    command = _command(
        commands,
        "history",
        _history,
        "List the decisions for a part. Says for each whether it still holds, and why not.",
        "quotegen history pawl",
    )
    command.add_argument("part", metavar="PART", help="the name of a file under parts/")
    _with_folder(command)
    _with_day(command)
    _with_json(command)


def _add_ask(commands: Commands) -> None:
    command = _command(
        commands,
        "ask",
        _ask,
        "Ask suppliers for quotes. Writes for each of them a letter (PDF), a form to answer in "
        "(XLSX) and the same request in UBL, and a letter about what its quotes leave open.",
        "quotegen ask bracket --folder my-workshop --supplier example-foundry",
    )
    command.add_argument("part", metavar="PART", help="the name of a file under parts/")
    _with_folder(command)
    command.add_argument(
        "--to",
        type=_folder_name,
        metavar="DIR",
        help="where to write (default: requests in the folder)",
    )
    command.add_argument(
        "--supplier",
        nargs="+",
        default=(),
        metavar="NAME",
        help="whom to ask: names of files under suppliers/ (default: all that quoted the part "
        "before or have a process that makes it)",
    )
    command.add_argument(
        "--answer-by", type=_day, metavar="YYYY-MM-DD", help="until when an answer is wanted"
    )
    _with_day(command)


def _add_take(commands: Commands) -> None:
    command = _command(
        commands,
        "take",
        _take,
        "Take a supplier's file in. Drafts a quote form from it, with the place of every value, "
        "and asks about everything that is in doubt.",
        "quotegen take offer.xlsx --folder my-workshop --supplier example-foundry",
    )
    command.add_argument(
        "file", type=Path, metavar="FILE", help="a workbook, CSV, PDF, e-mail, UBL, text or form"
    )
    _with_folder(command)
    command.add_argument(
        "--supplier", metavar="NAME", help="whose file it is: the name of a file under suppliers/"
    )
    command.add_argument(
        "--instead-of",
        metavar="FILE",
        help="an earlier file of that supplier, whose quote this one replaces",
    )
    command.add_argument(
        "--no-input",
        action="store_true",
        help="ask nothing: what is in doubt stands in the form as a question",
    )


def _add_schema(commands: Commands) -> None:
    command = _command(
        commands,
        "schema",
        _schema,
        "Write JSON Schemas for your editor. One for each kind of form.",
        "quotegen schema --to schemas",
    )
    command.add_argument(
        "--to",
        type=Path,
        default=Path("schemas"),
        metavar="DIR",
        help="where to write (default: schemas)",
    )


def _clock() -> datetime.date:
    return datetime.datetime.now(tz=datetime.UTC).astimezone().date()


def _new(asked: argparse.Namespace) -> int:
    from quotegen.starter import start_folder

    written = start_folder(asked.target)
    if not written:
        return _misuse(f"{asked.target} is not empty; nothing was written")
    _print(f"wrote {path}" for path in written)
    _print([f"Now fill the forms in, then: quotegen check --folder {asked.target}"])
    return CLEAN


def _check(asked: argparse.Namespace) -> int:
    from quotegen.basics.problem import has_errors
    from quotegen.study import study

    found = study(asked.folder, asked.today, clock=_clock())
    if asked.json:
        from quotegen.report.as_json import problem_as_json

        _print_json({"problems": [problem_as_json(each) for each in found.problems]})
    else:
        from quotegen.terminal import counts, problems_as_text

        _print(problems_as_text(found.problems, asked.folder))
        _print([counts(found.problems)])
    return PROBLEMS if has_errors(found.problems) else CLEAN


def _compare(asked: argparse.Namespace) -> int:
    from quotegen.basics.problem import has_errors
    from quotegen.study import study

    found = study(asked.folder, asked.today, only=(asked.part,), clock=_clock())
    if asked.json:
        _compare_as_json(found, asked.part)
    else:
        from quotegen.terminal import part_as_text, problems_as_text

        for part in found.parts.values():
            _print(part_as_text(part))
        _print(problems_as_text(found.problems, asked.folder), to=sys.stderr)
    return PROBLEMS if has_errors(found.problems) else CLEAN


def _compare_as_json(found: Any, part: str) -> None:
    from quotegen.report.as_json import comparison_as_json, problem_as_json

    value: dict[str, Any] = {"part": part}
    if part in found.parts:
        one = found.parts[part]
        value = comparison_as_json(
            one.comparison, one.planning, one.advice, one.plausible, one.turned
        )
    value["problems"] = [problem_as_json(each) for each in found.problems]
    _print_json(value)


def _report(asked: argparse.Namespace) -> int:
    from quotegen.basics.problem import has_errors
    from quotegen.publish import publish, why_not_to
    from quotegen.terminal import counts, problems_as_text

    target = asked.to if asked.to is not None else asked.folder / "site"
    refused = why_not_to(asked.folder, target)
    if refused:
        return _misuse(refused)
    with _Progress() as step:
        result = publish(asked.folder, target, asked.today, _clock(), step)
    _print(problems_as_text(result.problems, asked.folder), to=sys.stderr)
    _print(result.told)
    _print([counts(result.problems)])
    return PROBLEMS if has_errors(result.problems) else CLEAN


class _Progress:
    """A bar on a terminal's standard error, from the second second on; silent elsewhere."""

    def __enter__(self) -> Callable[[int, int, str], None]:
        from tqdm import tqdm

        self.bar = tqdm(disable=None, delay=1, leave=False, unit="file", file=sys.stderr)
        return self._step

    def _step(self, done: int, total: int, what: str) -> None:
        self.bar.total = total
        self.bar.set_postfix_str(what, refresh=False)
        self.bar.update(done - self.bar.n)

    def __exit__(self, *_: object) -> None:
        self.bar.close()


def _decide(asked: argparse.Namespace) -> int:
    from quotegen.deciding import Wish, put_on_record

    wish = Wish(
        part=asked.part,
        agreed_by=asked.agreed_by,
        because=asked.because,
        route=tuple(asked.route),
        reopen=asked.reopen,
    )
    result = put_on_record(asked.folder, wish, asked.today, _clock())
    if result.refused:
        return _refused(result, asked.folder)
    _print([f"wrote {result.path}"])
    return CLEAN


def _refused(result: Any, folder: Path) -> int:
    from quotegen.terminal import problems_as_text

    if result.misused:
        return _misuse(result.refused)
    _print(problems_as_text(result.problems, folder), to=sys.stderr)
    _misuse(result.refused)
    return PROBLEMS


def _history(asked: argparse.Namespace) -> int:
    from quotegen.basics.problem import has_errors
    from quotegen.deciding import history_of

    found = history_of(asked.folder, asked.part, asked.today, _clock())
    if asked.json:
        from quotegen.report.as_json import problem_as_json

        problems = [problem_as_json(each) for each in found.problems]
        _print_json({**found.as_json(), "problems": problems})
    else:
        from quotegen.terminal import problems_as_text, table

        _print(table(found.head, found.rows) if found.rows else ["no decision on record"])
        _print(problems_as_text(found.problems, asked.folder), to=sys.stderr)
    return PROBLEMS if has_errors(found.problems) else CLEAN


def _ask(asked: argparse.Namespace) -> int:
    from quotegen.basics.problem import has_errors
    from quotegen.requesting import FOLDER, Wish, ask
    from quotegen.terminal import counts, problems_as_text

    target = asked.to if asked.to is not None else asked.folder / FOLDER
    wish = Wish(part=asked.part, suppliers=tuple(asked.supplier), answer_by=asked.answer_by)
    result = ask(asked.folder, target, wish, asked.today, _clock())
    if result.refused:
        return _misuse(result.refused)
    _print(problems_as_text(result.problems, asked.folder), to=sys.stderr)
    _print(result.told)
    _print([counts(result.problems)])
    return PROBLEMS if has_errors(result.problems) else CLEAN


def _take(asked: argparse.Namespace) -> int:
    from quotegen.bringing import Wish, bring, told_in
    from quotegen.terminal import problems_as_text

    talks = not asked.no_input and sys.stdin.isatty() and sys.stdout.isatty()
    width = _width() if talks else None
    wish = Wish(
        file=asked.file,
        folder=asked.folder,
        supplier=asked.supplier,
        instead_of=asked.instead_of,
        **({"width": width} if width else {}),
    )
    result = bring(wish, _talk if talks else None)
    if result.misused:
        return _misuse(result.refused)
    _print(problems_as_text(result.problems, asked.folder), to=sys.stderr)
    _print(told_in(result, width))
    return PROBLEMS if result.problems or result.open else CLEAN


def _width() -> int:
    """The columns of the terminal; 80 where it does not say."""
    import shutil

    return max(30, shutil.get_terminal_size((80, 24)).columns)


def _talk(lines: Sequence[str]) -> str | None:
    """Shows lines and gives what is typed behind the last; None where nobody types any more."""
    _print(lines[:-1])
    try:
        return input(visible(lines[-1]))
    except (EOFError, KeyboardInterrupt):
        _print([""])
        return None


def _schema(asked: argparse.Namespace) -> int:
    from quotegen.starter import write_schemas

    _print(f"wrote {path}" for path in write_schemas(asked.to))
    return CLEAN


def _print(lines: Iterable[str], to: TextIO | None = None) -> None:
    for line in lines:
        _write(visible(line), to or sys.stdout)


def _print_json(value: object) -> None:
    """In ASCII: the same bytes on every terminal, and nothing in it that a terminal obeys."""
    _write(json.dumps(value, indent=2), sys.stdout)


def _misuse(message: str) -> int:
    _write(visible(f"quotegen: {message}"), sys.stderr)
    return MISUSE


def _failed(error: OSError) -> int:
    where = f"{error.filename}: " if error.filename else ""
    _write(visible(f"quotegen: {where}{error.strerror or error}"), sys.stderr)
    return PROBLEMS


def _write(text: str, stream: TextIO) -> None:
    """A reader that went away, such as `head`, is no error: the exit code stays true."""
    try:
        print(text, file=stream)
    except BrokenPipeError:
        _let_go(stream)


def _let_out(code: int) -> int:
    """Whatever still waits to be printed goes out; results that nobody gets are an error."""
    for stream in (sys.stdout, sys.stderr):
        try:
            stream.flush()
        except BrokenPipeError:
            _let_go(stream)
        except OSError as error:
            _let_go(stream)
            code = _failed(error)
    return code


def _let_go(stream: TextIO) -> None:
    """Nothing printed from here on goes anywhere, so that Python can end in peace."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, stream.fileno())
    os.close(nowhere)


if __name__ == "__main__":
    sys.exit(main())
