"""Every reader of `quotegen take` under a fuzzer that follows coverage, so many inputs a kind.

    python tests/fuzz/readers.py            2,000 inputs for each kind of file
    python tests/fuzz/readers.py 20000      so many
    python tests/fuzz/readers.py 500 .csv   of one kind

It needs `pip install atheris`, which is too heavy for the tests (35 MB). Each kind runs in a child
of its own, begins with the messy files of the tests and one fixed seed, and goes on to the text
of the form. A workbook's bytes are the XML of its sheet, since changed bytes of an archive are
refused by its checksums. An input that crashes, hangs or takes 2 GB is left in the folder that
is named.
"""

from __future__ import annotations

import importlib
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
RUNS, SEED, SECONDS, MEGABYTES, LONGEST = 2000, 7, 25, 2048, 20_000
ENDINGS = (".csv", ".tsv", ".txt", ".md", ".eml", ".xml", ".yaml", ".xlsx")


def main(words: list[str]) -> int:
    """How many kinds failed."""
    runs = int(words[0]) if words else RUNS
    failed = [ending for ending in words[1:] or ENDINGS if not _holds(ending, runs)]
    print(f"{len(failed)} kinds failed {' '.join(failed)}".strip())
    return len(failed)


def _holds(ending: str, runs: int) -> bool:
    """Whether a child got through all its inputs."""
    with tempfile.TemporaryDirectory() as corpus:
        for number, data in enumerate(_seeds(ending)):
            (Path(corpus) / str(number)).write_bytes(data)
        kept = Path(tempfile.mkdtemp(prefix="quotegen-fuzz-"))
        limits = [f"-timeout={SECONDS}", f"-rss_limit_mb={MEGABYTES}", f"-max_len={LONGEST}"]
        command = [sys.executable, __file__, "--child", ending, f"-runs={runs}", f"-seed={SEED}"]
        ran = subprocess.run(
            [*command, *limits, f"-artifact_prefix={kept}/", corpus],
            capture_output=True, text=True, check=False, cwd=ROOT,
        )  # fmt: skip
    left = list(kept.iterdir())
    if not left:
        kept.rmdir()
    done = [line for line in ran.stderr.splitlines() if line.startswith("Done ")]
    print(f"{ending}: {done[0] if done else ran.stderr[-2000:]} {' '.join(map(str, left))}")
    return ran.returncode == 0 and bool(done)


def _seeds(ending: str) -> list[bytes]:
    sys.path.insert(0, str(ROOT))
    from tests.taking.bombs import XLSX, quotation
    from tests.taking.messy import CASES

    if ending == ".xlsx":
        cells = '<row><c t="inlineStr"><is><t>Quantity</t></is></c><c><v>17.4</v></c></row>'
        sheet = f'<worksheet xmlns="{XLSX}"><sheetData>{cells}</sheetData></worksheet>'
        return [sheet.encode()]
    if ending == ".yaml":
        return [b"format: 1\nquote: Q-1\nitems:\n- part: p\n  prices: [{from: 1, price: 2 EUR}]\n"]
    with tempfile.TemporaryDirectory() as made:
        same = {".tsv": ".csv", ".md": ".txt"}.get(ending, ending)
        found = [
            case.build(Path(made)).read_bytes() for case in CASES if case.ending in (ending, same)
        ]
    return found or [quotation("")]


def child(ending: str, words: list[str]) -> None:
    """Feeds one reader; ends the process."""
    atheris: Any = importlib.import_module("atheris")
    sys.path.insert(0, str(ROOT))
    with atheris.instrument_imports(include=["quotegen"]):
        from quotegen.intake.files import RawFile, Refused
        from quotegen.taking.assemble import assemble
        from quotegen.taking.finish import finish
        from quotegen.taking.form import AnsweredAsk, rendered, tree_of
        from quotegen.taking.given import Given
        from quotegen.taking.opening import see
    from tests.taking.bombs import a_workbook

    def feed(data: bytes) -> None:
        if ending == ".xlsx":
            data = a_workbook(parts={"xl/worksheets/sheet1.xml": data})
        raw = RawFile(path=f"f{ending}", data=data)
        try:
            seen = see(raw, "The file")
        except Refused:
            return
        found = finish(assemble(seen, Given()).found, (), raw.place)
        asks = [AnsweredAsk(ask=each) for each in found.asks]
        rendered(tree_of(found), asks, {}, ()).encode()

    atheris.Setup([sys.argv[0], *words], feed)
    atheris.Fuzz()


if __name__ == "__main__":
    if sys.argv[1:2] == ["--child"]:
        child(sys.argv[2], sys.argv[3:])
    else:
        sys.exit(main(sys.argv[1:]))
