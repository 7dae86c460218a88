"""The wheel works by itself: built, installed in an environment of its own, and rendered from."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import sysconfig
import tomllib
import zipfile
from collections.abc import Iterator
from email import message_from_bytes
from pathlib import Path

import pikepdf
import pytest

import quotegen

ROOT = Path(__file__).parents[1]
TEMPLATES = ROOT / "templates"

pytestmark = pytest.mark.xdist_group("wheel")


def _run(*command: str | Path, cwd: Path) -> str:
    """What the command printed; the test fails with it when the exit code is not 0."""
    environment = {"PATH": os.defpath, "HOME": str(cwd), "LANG": "C.UTF-8"}
    done = subprocess.run(
        [str(word) for word in command],
        cwd=cwd,
        env=environment,
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return done.stdout


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Built from a source distribution, so that this one is complete as well."""
    folder = tmp_path_factory.mktemp("dist")
    python = Path(sys.executable)
    _run(python, "-m", "build", "--no-isolation", "--outdir", folder, ROOT, cwd=folder)
    (built,) = folder.glob("*.whl")
    return built


@pytest.fixture(scope="module")
def archive(wheel: Path) -> Iterator[zipfile.ZipFile]:
    with zipfile.ZipFile(wheel) as opened:
        yield opened


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The bin folder of a fresh environment with the wheel in it.

    What quotegen depends on is lent by the environment that runs the tests, through a .pth file:
    quick, and no network. The editable quotegen there is not lent, since its own .pth is not read.
    """
    folder = tmp_path_factory.mktemp("environment")
    _run(sys.executable, "-m", "venv", "--without-pip", folder, cwd=folder)
    python = folder / "bin" / "python"
    install = ("install", "--no-deps", "--no-index", "--quiet", wheel)
    _run(sys.executable, "-m", "pip", "--python", python, *install, cwd=folder)
    (site,) = folder.glob("lib/python*/site-packages")
    (site / "lent.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return python.parent


@pytest.fixture(scope="module")
def workshop(installed: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new workshop folder with its report in `site`, both made by the installed command."""
    folder = tmp_path_factory.mktemp("elsewhere")
    _run(installed / "quotegen", "new", "workshop", cwd=folder)
    _run(installed / "quotegen", "report", "--folder", "workshop", "--to", "site", cwd=folder)
    return folder


def _metadata(archive: zipfile.ZipFile, name: str) -> bytes:
    (path,) = [each for each in archive.namelist() if each.endswith(f".dist-info/{name}")]
    return archive.read(path)


def test_the_wheel_carries_every_template_and_font_unchanged(archive: zipfile.ZipFile) -> None:
    prefix = "quotegen/templates/"
    carried = {
        name.removeprefix(prefix): archive.read(name)
        for name in archive.namelist()
        if name.startswith(prefix)
    }
    files = [path for path in TEMPLATES.rglob("*") if path.is_file()]
    assert carried == {path.relative_to(TEMPLATES).as_posix(): path.read_bytes() for path in files}


def test_the_wheel_carries_every_module_and_nothing_outside_the_package(
    archive: zipfile.ZipFile,
) -> None:
    modules = {path.relative_to(ROOT).as_posix() for path in (ROOT / "quotegen").rglob("*.py")}
    names = set(archive.namelist())
    assert modules | {"quotegen/py.typed"} <= names
    assert {name.split("/")[0] for name in names} == {
        "quotegen",
        f"quotegen-{quotegen.__version__}.dist-info",
    }


def test_the_wheel_carries_every_table_of_published_numbers(archive: zipfile.ZipFile) -> None:
    tables = {path.relative_to(ROOT).as_posix() for path in (ROOT / "quotegen").rglob("*.yaml")}
    assert "quotegen/fit/tables/iso_286.yaml" in tables
    assert tables <= set(archive.namelist())


def test_the_metadata_states_version_command_and_both_licences(archive: zipfile.ZipFile) -> None:
    facts = message_from_bytes(_metadata(archive, "METADATA"))
    assert facts["Version"] == quotegen.__version__
    assert facts["License-Expression"] == "MIT AND OFL-1.1"
    assert sorted(facts.get_all("License-File", [])) == ["LICENSE", "templates/fonts/LICENSE.md"]
    assert "quotegen = quotegen.cli:main" in _metadata(archive, "entry_points.txt").decode()


def test_every_dependency_is_pinned() -> None:
    pinned = {
        _normal(line.partition("==")[0])
        for line in (ROOT / ".ci" / "constraints.txt").read_text(encoding="utf-8").splitlines()
        if "==" in line and not line.startswith("#")
    }
    assert _named_in_pyproject() <= pinned


def _named_in_pyproject() -> set[str]:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    named = list(project["build-system"]["requires"]) + list(project["project"]["dependencies"])
    for extra in project["project"]["optional-dependencies"].values():
        named += extra
    return {_normal(re.split(r"[<>=!~\[; ]", each)[0]) for each in named}


def _normal(name: str) -> str:
    """The spelling under which PEP 503 compares names of distributions."""
    return re.sub(r"[-_.]+", "-", name).lower()


def test_the_installed_command_tells_its_version(installed: Path, tmp_path: Path) -> None:
    assert quotegen.__version__ in _run(installed / "quotegen", "--version", cwd=tmp_path)


def test_the_installed_package_is_typed_and_finds_its_templates_inside_itself(
    installed: Path, tmp_path: Path
) -> None:
    script = "from quotegen.templates_folder import templates_folder; print(templates_folder())"
    found = Path(_run(installed / "python", "-c", script, cwd=tmp_path).strip())
    assert found.is_relative_to(installed.parent)
    assert found.parts[-2:] == ("quotegen", "templates")
    assert (found.parent / "py.typed").is_file()


def test_a_report_is_rendered_from_the_installed_wheel(workshop: Path) -> None:
    page = (workshop / "site" / "index.html").read_text(encoding="utf-8")
    assert page.lstrip().lower().startswith("<!doctype html>")
    assert "<h1" in page


def test_the_rendered_site_carries_the_font_of_the_wheel(workshop: Path) -> None:
    fonts = {path.read_bytes() for path in (workshop / "site").rglob("*.woff2")}
    assert (TEMPLATES / "fonts" / "SourceSans3-Regular.ttf.woff2").read_bytes() in fonts


def test_the_rendered_pdf_is_set_in_the_font_of_the_wheel(workshop: Path) -> None:
    documents = sorted((workshop / "site").rglob("*.pdf"))
    assert documents
    with pikepdf.open(documents[0]) as pdf:
        used = pdf.pages[0].Resources.Font
        names = [str(font.BaseFont) for font in used.values()]
    assert any("Source" in name for name in names)
