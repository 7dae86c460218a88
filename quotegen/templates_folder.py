"""Where pages, texts and fonts stand: inside the installed package, else beside it."""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent
LANDMARK = Path("fonts", "SourceSans3-Regular.ttf")


def templates_folder(package: Path = PACKAGE) -> Path:
    """The folder of templates for the package that stands at this path.

    A wheel carries it inside the package; in a checkout it stands beside it. A folder without
    the font is somebody else's. Raises FileNotFoundError, naming both places, when neither holds.
    """
    places = (package / "templates", package.parent / "templates")
    for folder in places:
        if (folder / LANDMARK).is_file():
            return folder
    raise FileNotFoundError(f"no {LANDMARK} in {places[0]} or {places[1]}: install quotegen again")
