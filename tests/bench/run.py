"""What speed costs, as ratios within one run, so that the machine matters little.

    python tests/bench/run.py            all of them
    python tests/bench/run.py envelope   only those named: envelope, report, compare, plan, futures,
                                         turning, taking

Nothing is asserted here: the numbers are printed for a person to read.
"""

from __future__ import annotations

import datetime
import json
import re
import resource
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "quotes_demo"
DAY = datetime.date(2026, 11, 2)
PARTS = 40
LARGEST = 100_000


def main(wanted: Sequence[str]) -> None:
    benches = {
        "envelope": bench_envelope,
        "report": bench_report,
        "compare": bench_compare,
        "plan": bench_plan,
        "futures": bench_futures,
        "seeds": bench_seeds,
        "turning": bench_turning,
        "taking": bench_taking,
    }
    for name in wanted or benches:
        benches[name]()


def bench_plan() -> None:
    """The planner, in a module of its own; it finds the tests' problems from the top."""
    sys.path.insert(0, str(ROOT))
    from tests.bench import plan

    plan.bench_plan()


def bench_turning() -> None:
    """What would change the answer, in a module of its own."""
    sys.path.insert(0, str(ROOT))
    from tests.bench import turning

    turning.bench_turning()


def bench_taking() -> None:
    """A supplier's file read with its places, in a module of its own."""
    sys.path.insert(0, str(ROOT))
    from tests.bench import taking

    taking.bench_taking()


def bench_futures() -> None:
    """Routes followed through many futures, in a module of its own."""
    sys.path.insert(0, str(ROOT))
    from tests.bench import futures

    futures.bench_futures()


def bench_seeds() -> None:
    """How many printed figures move with the draws, in a module of its own."""
    sys.path.insert(0, str(ROOT))
    from tests.bench import seeds

    seeds.bench_seeds()


def bench_envelope(rounds: int = 15) -> None:
    """8 quotes to 100,000 good parts, one order each, against 8 straight lines in numpy."""
    import numpy as np

    from quotegen.compare.envelope import envelope_of
    from quotegen.compare.lots import common_unit, curve_of
    from quotegen.compare.route import single
    from quotegen.study import study

    with tempfile.TemporaryDirectory() as folder:
        _write_eight(Path(folder))
        (part,) = study(Path(folder), DAY).parts.values()
    offers = [offer for offer in part.comparison.offers if offer.priced]
    unit = common_unit(offer.bill for offer in offers)
    lines = [(int(offer.bill.years * 1000), 7 + number) for number, offer in enumerate(offers)]

    def ours() -> None:
        curves = [curve_of(offer.bill, LARGEST, LARGEST, unit) for offer in offers]
        routes = [
            single(offer, curve, LARGEST) for offer, curve in zip(offers, curves, strict=True)
        ]
        envelope_of(routes)

    def straight() -> None:
        pieces = np.arange(LARGEST + 1, dtype=np.int64)
        for fixed, each in lines:
            fixed + each * pieces

    first, second = _interleaved((ours, straight), rounds)
    print(f"envelope: {len(offers)} quotes to {LARGEST:,}, one order each, unit 1/{unit}")
    _told("  curves and envelope", first)
    _told(f"  {len(lines)} straight lines in numpy", second)
    print(f"  ratio of medians {_ratio(first, second):.1f} (wanted: at most 20)\n")


def _write_eight(folder: Path) -> None:
    """A folder with one part and 8 quotes: breaks, multiples, minimum, tool life, rejects."""
    for name in ("parts", "suppliers", "quotes"):
        (folder / name).mkdir()
    workshop = (
        "format: 1\nname: Bench\ncurrency: EUR\nplace: Zutphen\ncountry: NL\n"
        "planning start: 2026-11-02\nplanning months: 12\n"
        "cost of capital: 7 % a year\nstorage: 6 % a year\n"
        "delivery:\n- {from: NL, carriage: {per order: 40 EUR}, source: bench}\n"
    )
    (folder / "workshop.yaml").write_text(workshop, encoding="utf-8")
    part = (
        "format: 1\nname: Pawl\nrevision: A\nmaterial: steel\nmass: 100 g\n"
        f"lot: {LARGEST}\ndemand: {{low: 100, likely: 5000, high: {LARGEST}}}\n"
    )
    (folder / "parts" / "pawl.yaml").write_text(part, encoding="utf-8")
    for number in range(8):
        supplier = f"s{number}"
        text = f"format: 1\nname: S{number}\nprocesses: [machining]\ncountry: NL\n"
        (folder / "suppliers" / f"{supplier}.yaml").write_text(text, encoding="utf-8")
        (folder / "quotes" / supplier).mkdir()
        quote = folder / "quotes" / supplier / "q.yaml"
        quote.write_text(_quote(number), encoding="utf-8")


def _quote(number: int) -> str:
    starts = (1, 50, 250, 1000, 5000)
    prices = "".join(
        f"  - {{from: {start}, price: {60 - 5 * number - 3 * step + 0.25 * number} EUR per 1}}\n"
        for step, start in enumerate(starts)
    )
    tool = (
        "  tools:\n"
        f"  - {{tool: die-{number}, what: die, price: {900 * number} EUR, owner: buyer, "
        f"life: {4000 + 1000 * number} shots, cavities: 2, replacement: {400 + 50 * number} EUR, "
        "samples: not applicable, takes: 0 days}\n"
        if number % 2
        else ""
    )
    return (
        f"format: 1\nquote: Q{number}\ndate: 2026-10-01\nvalid until: 2026-12-31\n"
        f"currency: EUR\ndelivery: DAP Zutphen\nminimum value: {{value: {150 + 10 * number} EUR, "
        "per: order}\nitems:\n- part: pawl\n  revision: A\n  prices:\n"
        f"{prices}  minimum: {10 + number}\n  multiple: {1 + number}\n{tool}"
        "  charges:\n  - {what: set-up, amount: 95 EUR, per: order}\n"
        f"  rejects: {{share: {number % 4} %}}\n  lead time: 10 working days\n"
    )


def bench_report() -> None:
    """The whole report of 40 parts against WeasyPrint alone on the same HTML; a second report."""
    with tempfile.TemporaryDirectory() as scratch:
        folder, site = Path(scratch) / "workshop", Path(scratch) / "site"
        copy_demo(folder, PARTS)
        pages = Path(scratch) / "pages"
        pages.mkdir()
        count, problems = _lay_out(folder, pages)
        bare, plain = _bare(pages, "None"), _bare(pages, "'pdf/a-3a'")
        first, second = _report(folder, site, count), _report(folder, site, count)
        size = sum(path.stat().st_size for path in site.rglob("*") if path.is_file())
        print(
            f"report: {PARTS} parts, {count} PDFs, {problems} errors in the folder,"
            f" {size / 1e6:.1f} MB written"
        )
        _told_once("  WeasyPrint alone, one process, plain PDF", bare)
        _told_once("  WeasyPrint alone, one process, PDF/A-3a", plain)
        _told_once("  the whole report", first)
        _told_once("  again, nothing changed", second)
        wall, cpu = first[0] / bare[0], first[1] / bare[1]
        print(f"  report / WeasyPrint alone: wall {wall:.2f}, cpu {cpu:.2f} (wanted: at most 1.25)")
        wall, cpu = first[0] / plain[0], first[1] / plain[1]
        print(f"  report / WeasyPrint alone as PDF/A-3a: wall {wall:.2f}, cpu {cpu:.2f}")
        print(
            f"  second / first: wall {second[0] / first[0]:.1%}, cpu {second[1] / first[1]:.1%}"
            " (wanted: at most 5 %)\n"
        )


def copy_demo(folder: Path, parts: int) -> None:
    """The demo with its parts and quotes under further names, until there are so many parts."""
    shutil.copytree(DEMO, folder)
    own = sorted(path.stem for path in (DEMO / "parts").glob("*.yaml"))
    for number in range(len(own), parts):
        name, copy = own[number % len(own)], f"-c{number // len(own)}"
        shutil.copy(DEMO / "parts" / f"{name}.yaml", folder / "parts" / f"{name}{copy}.yaml")
    for copy in range(1, -(-parts // len(own))):
        kept = {own[index] for index in range(len(own)) if copy * len(own) + index < parts}
        for form in sorted((DEMO / "quotes").glob("*/*.yaml")):
            text = form.read_text(encoding="utf-8")
            if set(re.findall(r"\bpart: ([\w-]+)$", text, re.MULTILINE)) <= kept:
                _copy_quote(form, text, folder, f"-c{copy}")


def _copy_quote(form: Path, text: str, folder: Path, copy: str) -> None:
    """The form, and the file as received beside it, with other numbers of quote, part and tool."""
    target = folder / "quotes" / form.parent.name
    number = form.stem.replace("-", "[-/]")
    names = re.compile(rf"\b((?:fl|wm)-\d{{3}}|{number}|tool: [\w-]+)\b", re.IGNORECASE)
    (target / f"{form.stem}{copy}.yaml").write_text(names.sub(rf"\1{copy}", text), encoding="utf-8")
    for received in form.parent.glob(f"{form.stem}.*"):
        if received != form:
            data = received.read_bytes()
            if received.suffix == ".csv":
                data = names.sub(rf"\1{copy}", data.decode("latin-1")).encode("latin-1")
            (target / f"{form.stem}{copy}{received.suffix}").write_bytes(data)


def _lay_out(folder: Path, pages: Path) -> tuple[int, int]:
    """Write the HTML of every PDF to a folder of its own; how many, and errors met."""
    from quotegen import __version__
    from quotegen.basics.problem import has_errors
    from quotegen.report.output.site import contents_of
    from quotegen.report.views.report import report_of
    from quotegen.study import study

    studied = study(folder, None)
    contents = contents_of(report_of(studied, __version__), studied, folder)
    for number, path in enumerate(sorted(contents.printable)):
        html = contents.printable[path]().document.html
        (pages / f"{number:03}.html").write_text(html, encoding="utf-8")
    errors = sum(has_errors([problem]) for problem in studied.problems)
    return len(contents.printable), errors


def _bare(pages: Path, variant: str) -> tuple[float, float]:
    """Seconds of WeasyPrint on these pages in one process that shares what it may share."""
    script = (
        "import sys, pathlib\n"
        "import weasyprint\n"
        "from weasyprint.text.fonts import FontConfiguration\n"
        "fonts = FontConfiguration()\n"
        "for page in sorted(pathlib.Path(sys.argv[1]).glob('*.html')):\n"
        "    html = weasyprint.HTML(string=page.read_text('utf-8'), base_url=sys.argv[2])\n"
        f"    html.write_pdf(font_config=fonts, pdf_variant={variant})\n"
    )
    return _timed([sys.executable, "-c", script, str(pages), f"{ROOT / 'templates'}/"])


def _report(folder: Path, site: Path, papers: int) -> tuple[float, float]:
    command = [sys.executable, "-m", "quotegen", "report", "--folder", str(folder)]
    seconds = _timed([*command, "--to", str(site)])
    found = len(list(site.rglob("*.pdf")))
    if found != papers:
        raise SystemExit(f"{found} PDFs were written instead of {papers}: nothing to measure")
    return seconds


def _timed(command: list[str]) -> tuple[float, float]:
    """Wall and cpu seconds of a command with all its children."""
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    wall, after = time.perf_counter() - start, resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in (0, 1) or "Traceback" in done.stderr:
        raise SystemExit(f"{command} ended with {done.returncode}:\n{done.stderr[-2000:]}")
    return wall, (after.ru_utime - before.ru_utime) + (after.ru_stime - before.ru_stime)


def bench_compare(rounds: int = 11) -> None:
    """`quotegen compare PART --json` against the bare cost of what it must load."""
    part = min(path.stem for path in (DEMO / "parts").glob("*.yaml"))
    command = [sys.executable, "-m", "quotegen", "compare", part, "--folder", str(DEMO), "--json"]
    script = "import yaml, numpy; from pydantic import BaseModel"
    json.loads(subprocess.run(command, capture_output=True, check=False).stdout)

    def ours() -> None:
        subprocess.run(command, capture_output=True, check=False)

    def bare() -> None:
        subprocess.run([sys.executable, "-c", script], capture_output=True, check=True)

    first, second = _interleaved((ours, bare), rounds)
    print("compare: one part of the demo as JSON, whole processes")
    _told(f"  quotegen compare {part} --json", first)
    _told(f'  python -c "{script}"', second)
    print(f"  ratio of medians {_ratio(first, second):.2f} (wanted: at most 5)\n")


def _interleaved(
    calls: tuple[Callable[[], None], Callable[[], None]], rounds: int
) -> tuple[list[float], list[float]]:
    """Seconds of both, in turn, so that a busy moment hits both; the first round warms up."""
    found: tuple[list[float], list[float]] = ([], [])
    for _ in range(rounds + 1):
        for call, seconds in zip(calls, found, strict=True):
            start = time.perf_counter()
            call()
            seconds.append(time.perf_counter() - start)
    return found[0][1:], found[1][1:]


def _ratio(first: list[float], second: list[float]) -> float:
    return statistics.median(first) / statistics.median(second)


def _told(what: str, seconds: list[float]) -> None:
    low, middle, high = min(seconds), statistics.median(seconds), max(seconds)
    print(
        f"{what}: median {middle * 1e3:.2f} ms ({low * 1e3:.2f} to {high * 1e3:.2f}, "
        f"{len(seconds)} rounds)"
    )


def _told_once(what: str, seconds: tuple[float, float]) -> None:
    print(f"{what}: {seconds[0]:.1f} s wall, {seconds[1]:.1f} s cpu")


if __name__ == "__main__":
    main(sys.argv[1:])
