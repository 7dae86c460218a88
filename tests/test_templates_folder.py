from __future__ import annotations

from pathlib import Path

import pytest

from quotegen.templates_folder import LANDMARK, templates_folder


def _place_font(folder: Path) -> Path:
    font = folder / LANDMARK
    font.parent.mkdir(parents=True)
    font.write_bytes(b"font")
    return folder


def test_templates_inside_the_package_win_over_those_beside_it(tmp_path: Path) -> None:
    inside = _place_font(tmp_path / "quotegen" / "templates")
    _place_font(tmp_path / "templates")
    assert templates_folder(tmp_path / "quotegen") == inside


def test_templates_beside_the_package_are_found_in_a_checkout(tmp_path: Path) -> None:
    beside = _place_font(tmp_path / "templates")
    assert templates_folder(tmp_path / "quotegen") == beside


def test_a_folder_of_that_name_without_our_font_is_passed_over(tmp_path: Path) -> None:
    (tmp_path / "quotegen" / "templates").mkdir(parents=True)
    beside = _place_font(tmp_path / "templates")
    assert templates_folder(tmp_path / "quotegen") == beside


def test_missing_templates_name_both_places_that_were_tried(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError) as caught:
        templates_folder(tmp_path / "quotegen")
    for place in (tmp_path / "quotegen" / "templates", tmp_path / "templates"):
        assert str(place) in str(caught.value)
