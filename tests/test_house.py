"""The rules of the house: who may import whom, how long things grow, what lies at the top."""

from __future__ import annotations

import ast
import re
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "quotegen"

# Lowest first. A floor imports only from floors below; rooms of one floor do not know each other.
FLOORS: tuple[frozenset[str], ...] = (
    frozenset({"quotegen", "templates_folder"}),
    frozenset({"basics"}),
    frozenset({"model"}),
    frozenset({"fit"}),
    frozenset({"intake"}),
    frozenset({"taking"}),
    frozenset({"costing"}),
    frozenset({"compare"}),
    frozenset({"plan"}),
    frozenset({"judge"}),
    frozenset({"asking", "record", "report", "terminal"}),
    frozenset({"starter", "study"}),
    frozenset({"deciding", "notebook", "publish"}),
    frozenset({"bringing", "requesting"}),
    frozenset({"cli"}),
    frozenset({"__main__"}),
)
FLOOR_OF = {room: number for number, rooms in enumerate(FLOORS) for room in rooms}

MODULE_LINES = 600
FUNCTION_LINES = 40

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "Makefile",
    "pyproject.toml",
    "quotegen",
    "templates",
    "tests",
    "quotes_demo",
    "site",
    ".ci",
    ".gitattributes",
    ".gitignore",
}

# In pieces, so that this file may be looked at too.
REGISTRY_HOSTS = tuple(
    ".".join(labels)
    for labels in (
        ("pypi", "org"),
        ("pythonhosted", "org"),
        ("npmjs", "org"),
        ("npmjs", "com"),
        ("yarnpkg", "com"),
        ("deb", "debian", "org"),
        ("security", "debian", "org"),
        ("archive", "ubuntu", "com"),
        ("anaconda", "org"),
        ("docker", "io"),
    )
)


def _modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


@cache
def _tree(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def _dotted(path: Path) -> str:
    """quotegen/basics/money.py is quotegen.basics.money; a package goes by its folder."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def _room(dotted: str) -> str:
    """The part of the house that a dotted name belongs to: quotegen.basics.money is in basics."""
    names = dotted.split(".")
    return names[1] if len(names) > 1 else names[0]


def _imported(tree: ast.Module) -> Iterator[str]:
    """Each of our own modules that is imported anywhere in the tree, by its dotted name."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names = [alias.name for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            names = _named_from(node)
        elif isinstance(node, ast.Call) and _is_import_call(node):
            names = [arg.value for arg in node.args if isinstance(arg, ast.Constant)]
        else:
            continue
        yield from (name for name in names if name.split(".")[0] == "quotegen")


def _named_from(node: ast.ImportFrom) -> list[str]:
    """`from quotegen import study` names a module; `from quotegen import __version__` does not."""
    if node.module == "quotegen":
        return [
            f"quotegen.{alias.name}" if alias.name in FLOOR_OF else "quotegen"
            for alias in node.names
        ]
    return [node.module or ""]


def _is_import_call(node: ast.Call) -> bool:
    called = node.func.attr if isinstance(node.func, ast.Attribute) else node.func
    name = called.id if isinstance(called, ast.Name) else called
    return name in {"import_module", "__import__"}


# The package's own name opens a folder for a notebook: one door from the ground to an upper floor.
DOOR = ("quotegen", "quotegen.notebook")


def _wrong_imports(importer: str, tree: ast.Module) -> list[str]:
    own = _room(importer)
    return [
        f"{importer} imports {name}"
        for name in _imported(tree)
        if (importer, name) != DOOR
        and _room(name) != own
        and FLOOR_OF[_room(name)] >= FLOOR_OF[own]
    ]


def test_every_module_has_its_floor() -> None:
    assert {_room(_dotted(path)) for path in _modules()} <= set(FLOOR_OF)


def test_imports_point_downwards_only() -> None:
    wrong = [line for path in _modules() for line in _wrong_imports(_dotted(path), _tree(path))]
    assert wrong == []


@pytest.mark.parametrize(
    ("importer", "line"),
    [
        ("quotegen.basics.money", "from quotegen.model.part import Part"),
        ("quotegen.basics.money", "def later():\n    import quotegen.model.part"),
        ("quotegen.report.page", "from quotegen.record.chain import Record"),
        ("quotegen.record.chain", "from quotegen.report import page"),
        ("quotegen.judge.advice", "from quotegen import study"),
        ("quotegen.study", "from quotegen.cli import main"),
        ("quotegen.templates_folder", "from quotegen.basics.place import Place"),
        ("quotegen.model.part", "importlib.import_module('quotegen.intake.folder')"),
    ],
)
def test_an_import_that_points_up_or_aside_is_seen(importer: str, line: str) -> None:
    assert len(_wrong_imports(importer, ast.parse(line))) == 1


@pytest.mark.parametrize(
    ("importer", "line"),
    [
        ("quotegen.cli", "from quotegen import __version__, study"),
        ("quotegen.report.page", "from quotegen.report.charts.chart import drawing"),
        ("quotegen.report.page", "from quotegen.templates_folder import templates_folder"),
        ("quotegen.basics.money", "import fractions, quotegen_other"),
    ],
)
def test_an_import_that_points_down_or_out_is_let_through(importer: str, line: str) -> None:
    assert _wrong_imports(importer, ast.parse(line)) == []


def _too_long() -> set[str]:
    """Our own violations, written as DEVELOPERS.md lists them: path, or path::function."""
    found = set()
    for path in _modules():
        where = path.relative_to(ROOT).as_posix()
        if len(path.read_text(encoding="utf-8").splitlines()) > MODULE_LINES:
            found.add(where)
        found |= {f"{where}::{name}" for name in _long_functions(_tree(path))}
    return found


def _long_functions(tree: ast.Module) -> list[str]:
    return [
        node.name
        for node in ast.walk(tree)
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and _lines(node) > FUNCTION_LINES
    ]


def _lines(function: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Lines of a function from `def` to its end, its docstring left out."""
    first = function.body[0]
    told = ast.get_docstring(function) is not None
    docstring = _end(first) - first.lineno + 1 if told else 0
    return _end(function) - function.lineno + 1 - docstring


def _end(node: ast.stmt) -> int:
    return node.end_lineno or node.lineno


def _known_violations(developers: str) -> set[str]:
    """The paths at the head of the bullets under the heading "Known violations"."""
    heading = re.search(r"^#+ +known violations.*$", developers, re.IGNORECASE | re.MULTILINE)
    if heading is None:
        raise ValueError("DEVELOPERS.md has no heading 'Known violations'")
    section = re.split(r"^#+ ", developers[heading.end() :], maxsplit=1, flags=re.MULTILINE)[0]
    return set(re.findall(r"^[-*] +`([^`]+\.py(?:::\w+)?)`", section, re.MULTILINE))


def test_what_is_too_long_is_listed_and_what_is_listed_is_too_long() -> None:
    known = _known_violations((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))
    assert _too_long() == known


def test_known_violations_are_read_from_their_own_section_only() -> None:
    text = (
        "# Work\n- `quotegen/a.py`\n## Known violations\nTwo:\n"
        "- `quotegen/b.py` has 640 lines: a table\n- `quotegen/c.py::draw`: one picture\n"
        "## After\n- `quotegen/d.py`\n"
    )
    assert _known_violations(text) == {"quotegen/b.py", "quotegen/c.py::draw"}


@pytest.mark.parametrize(("length", "seen"), [(FUNCTION_LINES, []), (FUNCTION_LINES + 1, ["f"])])
def test_a_function_is_too_long_from_its_41st_line(length: int, seen: list[str]) -> None:
    body = "\n".join("    x = 1" for _ in range(length - 1))
    docstring = '    """One.\n\n    Two.\n    """'
    assert _long_functions(ast.parse(f"def f():\n{docstring}\n{body}\n")) == seen


@cache
def _committed() -> tuple[Path, ...]:
    """Every file that git keeps or would keep; needs a checkout, not a bare tarball."""
    if not (ROOT / ".git").exists():
        pytest.skip("not a git checkout")
    command = ["git", "-c", f"safe.directory={ROOT}", "-C", str(ROOT), "ls-files", "-z"]
    command += ["--cached", "--others", "--exclude-standard"]
    listed = subprocess.run(command, check=True, capture_output=True).stdout
    paths = (Path(name) for name in listed.decode("utf-8").split("\0") if name)
    return tuple(sorted(path for path in paths if (ROOT / path).is_file()))


def test_the_top_level_holds_what_the_house_has_and_nothing_else() -> None:
    assert {path.parts[0] for path in _committed()} == TOP_LEVEL


def test_no_committed_file_names_the_host_of_a_registry() -> None:
    wrong = [
        f"{path}: {host}"
        for path in _committed()
        for host in REGISTRY_HOSTS
        if host.encode() in (ROOT / path).read_bytes().lower()
    ]
    assert wrong == []


def test_no_link_leads_out_of_the_repository() -> None:
    links = [ROOT / path for path in _committed() if (ROOT / path).is_symlink()]
    assert [link for link in links if not link.resolve().is_relative_to(ROOT)] == []


def test_every_test_file_stands_where_its_module_stands() -> None:
    """tests/report/test_pages.py is for quotegen/report/pages.py; other rooms are named here."""
    free = {"published", "bench", "fuzz"}
    rooms = {path.name for path in (ROOT / "tests").iterdir() if path.is_dir()}
    rooms = {name for name in rooms if not name.startswith(("_", "."))}
    assert rooms - free <= set(FLOOR_OF) - {"quotegen"}
