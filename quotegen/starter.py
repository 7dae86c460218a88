"""A first workshop folder to fill in, and the schemas that help an editor to do so."""

from __future__ import annotations

from pathlib import Path

from quotegen.intake.schema import schemas
from quotegen.templates_folder import templates_folder


def start_folder(target: Path) -> tuple[Path, ...]:
    """Copy the starter forms into a new or empty folder; nothing is written into a full one."""
    if target.exists() and any(target.iterdir()):
        return ()
    source = templates_folder() / "starter"
    written = []
    for form in sorted(path for path in source.rglob("*") if path.is_file()):
        path = target / form.relative_to(source)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(form.read_bytes())  # not its mode: an installed form may be read-only
        written.append(path)
    return tuple(written)


def write_schemas(target: Path) -> tuple[Path, ...]:
    """One JSON Schema for each kind of form, as `<kind>.schema.json`."""
    target.mkdir(parents=True, exist_ok=True)
    written = []
    for kind, text in sorted(schemas().items()):
        path = target / f"{kind}.schema.json"
        path.write_text(text, encoding="utf-8", newline="\n")
        written.append(path)
    return tuple(written)
