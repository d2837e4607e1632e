"""Rooms keep their order, and a planted breach of each kind is found."""

from __future__ import annotations

import inspect
from pathlib import Path

import pytest
from house_rooms import (
    MOST_AT_THE_TOP,
    MOST_FILES,
    ORDER,
    PACKAGE,
    ROOT,
    House,
    full_folders,
    long_files,
)

import foldspan

HOUSE = House(PACKAGE)
FOLDERS = (PACKAGE, ROOT / "tests")
VERBS = {name for name in foldspan.__all__ if inspect.isfunction(getattr(foldspan, name))}
VERBS |= {"precision", "calibrate"}  # commands, which are to be public functions as well


def test_every_room_has_its_place_and_its_job() -> None:
    assert HOUSE.unplaced_rooms() == set()
    for name, path in HOUSE.modules.items():
        if path.name == "__init__.py" and name:
            assert path.read_text(encoding="utf-8").startswith('"""'), name


def test_a_room_uses_no_room_above_it() -> None:
    assert list(HOUSE.imports_upward()) == []


def test_no_two_modules_need_each_other() -> None:
    assert HOUSE.cycles() == set()


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: str(folder.name))
def test_no_file_is_long_and_no_folder_is_full(folder: Path) -> None:
    assert long_files(folder) == {}
    assert full_folders(folder) == {}


def test_few_modules_stand_at_the_top() -> None:
    assert len(HOUSE.at_the_top()) <= MOST_AT_THE_TOP


def test_no_room_is_called_like_a_public_function() -> None:
    assert {"reconcile", "explain", "health", "change", "report"} <= VERBS
    assert HOUSE.rooms_called_like(VERBS) == set()


def test_the_map_names_every_room() -> None:
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    told = [line.split("`")[1] for line in page.splitlines() if line.startswith("| `")]
    rooms = ["/".join(room.split(".")) + "/" for room in ORDER if room]
    assert [one for one in told if one in rooms] == rooms


# ---- a house of two rooms, sound as it stands, into which every kind of breach is planted


@pytest.fixture
def small(tmp_path: Path) -> Path:
    package = tmp_path / "foldspan"
    for room in {room for room in ORDER if room}:
        folder = package.joinpath(*room.split("."))
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "__init__.py").write_text('"""A room."""\n', encoding="utf-8")
    (package / "__init__.py").write_text("", encoding="utf-8")
    write(package / "problems.py", "")
    write(package / "estimation" / "combine.py", "from foldspan.catalogue import card\n")
    write(package / "catalogue" / "card.py", "from foldspan import problems\n")
    return package


def write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8")


def test_the_small_house_is_sound(small: Path) -> None:
    house = House(small)
    assert house.unplaced_rooms() == set()
    assert list(house.imports_upward()) == []
    assert house.cycles() == set()
    assert long_files(small) == full_folders(small) == {}
    assert house.rooms_called_like(VERBS) == set()
    assert len(house.at_the_top()) <= MOST_AT_THE_TOP


@pytest.mark.parametrize(
    "line",
    [
        "from foldspan.api import reconcile\n",
        "from foldspan.text.codes import words\n",
        "import foldspan.cli\n",
        "def late():\n    from foldspan import api\n",
    ],
)
def test_an_upward_import_is_found(small: Path, line: str) -> None:
    write(small / "estimation" / "planted.py", line)
    (found,) = House(small).imports_upward()
    assert found.startswith("estimation.planted")


def test_an_import_from_a_lower_part_of_a_room_is_found(small: Path) -> None:
    """``text.codes`` lies below ``visit``, the rest of ``text`` above it."""
    write(small / "text" / "codes" / "planted.py", "from foldspan import text\n")
    write(small / "visit" / "planted.py", "from foldspan.text import codes\n")
    (found,) = House(small).imports_upward()
    assert found.startswith("text.codes.planted")


def test_two_modules_that_need_each_other_are_found(small: Path) -> None:
    write(small / "estimation" / "one.py", "from foldspan.estimation import other\n")
    write(small / "estimation" / "other.py", "from foldspan.estimation import one\n")
    assert House(small).cycles() == {"estimation.one", "estimation.other"}


def test_a_long_file_is_found(small: Path) -> None:
    write(small / "estimation" / "planted.py", "\n" * 400)
    assert long_files(small) == {}
    write(small / "estimation" / "planted.py", "\n" * 401)
    assert long_files(small) == {"estimation/planted.py": 401}


def test_a_full_folder_is_found(small: Path) -> None:
    for place in range(MOST_FILES - 2):  # two files are there
        write(small / "estimation" / f"planted_{place}.py", "")
    assert full_folders(small) == {}
    write(small / "estimation" / "template.txt", "")
    assert full_folders(small) == {"estimation": MOST_FILES + 1}


def test_one_module_too_many_at_the_top_is_found(small: Path) -> None:
    for place in range(MOST_AT_THE_TOP - 1):
        write(small / f"planted_{place}.py", "")
    assert len(House(small).at_the_top()) == MOST_AT_THE_TOP + 1


@pytest.mark.parametrize("name", ["report", "precision"])
def test_a_room_called_like_a_public_function_is_found(small: Path, name: str) -> None:
    (small / name).mkdir()
    write(small / name / "__init__.py", "")
    house = House(small)
    assert house.rooms_called_like(VERBS) == {name}
    assert house.unplaced_rooms() == {name}


def test_a_room_that_is_gone_is_found(small: Path) -> None:
    (small / "followup" / "__init__.py").unlink()
    assert House(small).unplaced_rooms() == {"followup"}
