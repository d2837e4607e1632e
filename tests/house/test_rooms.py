"""Rooms keep their order, and a planted breach of each kind is found."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import pytest
from draw_rooms import PICTURE, drawn, reached, uses
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


def test_rooms_that_compute_know_no_words_of_a_language() -> None:
    assert list(HOUSE.early_words()) == []


def test_nothing_outside_text_compares_with_a_sentence() -> None:
    assert list(HOUSE.sentences_compared()) == []


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda folder: str(folder.name))
def test_no_file_is_long_and_no_folder_is_full(folder: Path) -> None:
    assert long_files(folder) == {}
    assert full_folders(folder) == {}


def test_few_modules_stand_at_the_top() -> None:
    assert len(HOUSE.at_the_top()) <= MOST_AT_THE_TOP


def test_no_room_is_called_like_a_public_function() -> None:
    assert {"reconcile", "explain", "health", "change", "report"} <= VERBS
    assert HOUSE.rooms_called_like(VERBS) == set()


def test_the_drawing_is_that_of_the_imports() -> None:
    """If this fails: python tests/house/draw_rooms.py."""
    assert PICTURE.read_text(encoding="utf-8") == drawn(HOUSE)
    assert f"](docs/{PICTURE.name})" in (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")


def test_every_import_between_rooms_can_be_followed_on_the_drawing() -> None:
    """Down the lines of the picture as it is read back, from a room to all that it imports."""
    lines = re.findall(r'data-used="(.*?)" data-by="(.*?)"', PICTURE.read_text(encoding="utf-8"))
    below: dict[str, set[str]] = {room: set() for room in ORDER if room}
    for used, by in lines:
        below[by].add(used)
    for room, used in uses(HOUSE).items():
        assert below[room] <= used, room
        assert used <= reached(below, room), room


def test_the_drawing_can_be_read_in_the_light_and_in_the_dark() -> None:
    text = PICTURE.read_text(encoding="utf-8")
    sizes = [float(size) for size in re.findall(r"font-size: ([\d.]+)px", text)]
    assert len(sizes) == 2
    assert min(sizes) >= 11
    assert float(re.findall(r'<svg [^>]*? width="(\d+)"', text)[0]) < 1000
    assert "prefers-color-scheme: dark" in text
    shown = re.findall(r'<text class="name"[^>]*>(.*?)</text>', text)
    assert set(shown) == {"foldspan/", *(room.replace(".", "/") + "/" for room in ORDER if room)}


def test_what_the_page_for_newcomers_names_is_there() -> None:
    """Every file, folder and test that DEVELOPERS.md names, from the top or inside the package."""
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    blocks = re.findall(r"^```sh\n(.*?)^```", page, re.DOTALL | re.MULTILINE)
    named = set(re.findall(r"`((?:[\w.]+/)+(?:\w+\.\w+)?)`", page))
    named |= set(re.findall(r"\btests/\S+?\.py", " ".join(blocks)))
    assert len(named) > 20
    places = (ROOT, PACKAGE)
    assert [name for name in sorted(named) if not any((at / name).exists() for at in places)] == []
    assert len(page.splitlines()) <= 95
    parts = {part.split("\n")[0]: part.strip() for part in page.split("\n## ")}
    for name in ("an equation", "a rule", "a language", "a method group"):
        head, empty, *lines = parts[f"Add {name}"].splitlines()
        assert empty == ""
        assert 0 < len(lines) < 15, head


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


def test_an_import_that_is_not_drawn_is_found(small: Path) -> None:
    house = House(small)
    before = uses(house)
    assert before["estimation"] == {"catalogue"}
    write(small / "estimation" / "planted.py", "from foldspan.protocol import plans\n")
    write(small / "protocol" / "plans.py", "")
    assert uses(House(small))["estimation"] == {"catalogue", "protocol"}


@pytest.mark.parametrize(
    "line",
    [
        "from foldspan.api import reconcile\n",
        "from foldspan.text import catalogue\n",
        "import foldspan.cli\n",
        "def late():\n    from foldspan import api\n",
    ],
)
def test_an_upward_import_is_found(small: Path, line: str) -> None:
    write(small / "estimation" / "planted.py", line)
    (found,) = House(small).imports_upward()
    assert found.startswith("estimation.planted")


def test_an_import_from_a_lower_part_of_a_room_is_found(small: Path) -> None:
    """``text.en`` lies below ``visit``, the rest of ``text`` above it."""
    write(small / "text" / "en" / "planted.py", "from foldspan import text\n")
    write(small / "visit" / "planted.py", "from foldspan.text import en\n")
    (found,) = House(small).imports_upward()
    assert found.startswith("text.en.planted")


def test_words_taken_before_the_end_are_found(small: Path) -> None:
    write(small / "text" / "en" / "flag_words.py", "FLAG_WORDS = {}\n")
    write(
        small / "interpretation" / "planted.py",
        "from foldspan.text.en.flag_words import FLAG_WORDS\n",
    )
    write(small / "results" / "sound.py", "from foldspan.text.en.flag_words import FLAG_WORDS\n")
    assert list(House(small).imports_upward()) == []
    assert list(House(small).early_words()) == ["interpretation.planted imports text.en.flag_words"]


@pytest.mark.parametrize(
    "line",
    [
        'is_large = CAUTIONS["large_body"] in result.spoken',
        'is_large = result.spoken == CAUTIONS["large_body"]',
        'is_large = "few equations were built here" in result.spoken',
        'is_large = any("large" in text for text in result.spoken) or kept in result.cautions',
        "is_same = one.for_client == other",
        "is_new = problem.sentence() not in known",
    ],
)
def test_a_sentence_that_serves_as_a_code_is_found(small: Path, line: str) -> None:
    head = "from foldspan.text.en.reconcile import CAUTIONS\n"
    write(small / "results" / "planted.py", head + line + "\n")
    write(small / "results" / "sound.py", head + 'is_large = "large_body" in result.codes\n')
    assert list(House(small).sentences_compared()) == ["results.planted, line 2"]


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
