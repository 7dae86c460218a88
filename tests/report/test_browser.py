"""The demo's site in a browser: from a folder, without a network, with and without JavaScript.

Accessibility is looked at with axe-core, which the package axe-playwright-python carries.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

CHROMIUM = next(
    (
        found
        for name in ("chromium", "chromium-browser", "google-chrome")
        if (found := shutil.which(name))
    ),
    None,
)
# The last ones keep it from calling home, which a machine without a network refuses.
ARGUMENTS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
WIDTHS = (1280, 390)
ONE_OF_EACH = (
    "index",
    "parts",
    "suppliers",
    "quotes",
    "decisions",
    "method",
    "glossary",
    "problems",
)

pytestmark = [
    pytest.mark.browser,
    pytest.mark.xdist_group("site"),
    pytest.mark.skipif(
        CHROMIUM is None, reason="no Chromium on this machine: apt-get install chromium"
    ),
]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        launched = playwright.chromium.launch(executable_path=CHROMIUM, args=list(ARGUMENTS))
        yield launched
        launched.close()


@pytest.fixture(scope="module")
def axe() -> str:
    return files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")


def _pages(folder: Path, wanted: tuple[str, ...] = ONE_OF_EACH) -> list[Path]:
    """The first two pages of each kind."""
    found = []
    for kind in wanted:
        single = folder / f"{kind}.html"
        found += [single] if single.is_file() else sorted((folder / kind).glob("*.html"))[:2]
    return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Visit:
    """What a page asked for, what it complained of, what axe found, and how wide it is."""

    asked: tuple[str, ...]
    told: tuple[str, ...]
    violations: tuple[str, ...]
    width: int


def _visit(context: BrowserContext, path: Path, axe: str) -> Visit:
    asked: list[str] = []
    told: list[str] = []
    page = context.new_page()
    page.on("request", lambda request: asked.append(request.url))
    page.on("requestfailed", lambda request: told.append(f"failed: {request.url}"))
    page.on("console", lambda message: told.append(f"{message.type}: {message.text}"))
    page.on("pageerror", lambda error: told.append(f"error: {error}"))
    page.goto(path.as_uri(), wait_until="load")
    page.evaluate("() => document.fonts.ready")
    width = page.evaluate("() => document.documentElement.scrollWidth")
    complaints = tuple(told)
    violations = tuple(_violations(page, axe))
    page.close()
    return Visit(asked=tuple(asked), told=complaints, violations=violations, width=width)


def _violations(page: Page, axe: str) -> list[str]:
    """What axe finds, as rule and element; it is put in by hand, past the page's own policy."""
    page.evaluate(axe)
    found = page.evaluate("() => axe.run()")
    return [
        f"{each['id']}: {node['target']}" for each in found["violations"] for node in each["nodes"]
    ]


@pytest.fixture(scope="module", params=WIDTHS)
def visits(
    request: pytest.FixtureRequest, browser: Browser, demo_site: Any, axe: str
) -> Iterator[tuple[int, dict[str, Visit]]]:
    """One visit to each page at one width of the screen, without a network."""
    context = browser.new_context(viewport={"width": request.param, "height": 900}, offline=True)
    pages = _pages(demo_site.folder)
    yield request.param, {path.name: _visit(context, path, axe) for path in pages}
    context.close()


@pytest.fixture
def plain(browser: Browser) -> Iterator[BrowserContext]:
    """A browser without JavaScript."""
    context = browser.new_context(offline=True, java_script_enabled=False)
    yield context
    context.close()


def test_a_page_loads_only_files_of_its_site(visits: Any, demo_site: Any) -> None:
    ours = f"{demo_site.folder.as_uri()}/"
    for name, visit in visits[1].items():
        assert [url for url in visit.asked if not url.startswith((ours, "data:"))] == [], name
        assert any(url.endswith(".woff2") for url in visit.asked), name


def test_a_page_complains_of_nothing(visits: Any) -> None:
    assert {name: visit.told for name, visit in visits[1].items() if visit.told} == {}


def test_a_page_can_be_used_by_everybody(visits: Any) -> None:
    """WCAG 2.2 A and AA and good practice, as far as axe-core can tell."""
    found = {name: visit.violations for name, visit in visits[1].items() if visit.violations}
    assert found == {}
    assert len(visits[1]) >= 10


def test_nothing_runs_out_of_the_screen_to_the_side(visits: Any) -> None:
    width, pages = visits
    assert {name: visit.width for name, visit in pages.items() if visit.width > width} == {}


def test_the_check_for_everybody_bites(browser: Browser, axe: str, tmp_path: Path) -> None:
    path = tmp_path / "bad.html"
    path.write_text("<!doctype html><title>T</title><img src='a.png'><input>", encoding="utf-8")
    context = browser.new_context(offline=True)
    visit = _visit(context, path, axe)
    context.close()
    rules = {each.split(":")[0] for each in visit.violations}
    assert rules >= {"image-alt", "label", "html-has-lang"}
    assert any(each.startswith("failed: ") for each in visit.told)


def test_without_javascript_charts_and_tables_can_be_seen(
    plain: BrowserContext, demo_site: Any
) -> None:
    """What only works with JavaScript stays hidden without it."""
    for path in _pages(demo_site.folder, ("parts",)):
        page = plain.new_page()
        page.goto(path.as_uri())
        for summary in page.locator("details > summary").all():
            summary.click()
        charts = [chart.bounding_box() for chart in page.locator("main svg").all()]
        assert len(charts) >= 3
        assert all(box and min(box["width"], box["height"]) > 50 for box in charts), path.name
        tables = page.locator("main table:not([hidden] table)").all()
        assert len(tables) >= 5
        assert all(table.is_visible() for table in tables), path.name


def test_the_text_is_the_same_without_javascript(
    browser: Browser, plain: BrowserContext, demo_site: Any
) -> None:
    """JavaScript may add to a page, and must not be needed to read it."""
    path = _pages(demo_site.folder, ("parts",))[0]
    scripted = browser.new_context(offline=True)
    texts = []
    for context in (plain, scripted):
        page = context.new_page()
        page.goto(path.as_uri())
        texts.append(page.locator("main").inner_text().split())
    scripted.close()
    assert len(texts[0]) > 300
    assert set(texts[0]) <= set(texts[1])
