"""What the screen of ``foldspan measure`` shows: readings hidden in time, words whole at any width."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from measure_driver import MAN, place_of, script_of, terminal, walk_plain

NUMBER = re.compile(r"\d+\.\d|\d+ ?(?:%|kg|lb)")


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "book.sqlite"


@pytest.mark.parametrize("columns", [100, 60, 37])
def test_a_reading_typed_blind_stays_until_the_next_entry(book: Path, columns: int) -> None:
    script = script_of(MAN | {"1.chest_mm": ("0.77", "12.5")})
    place = place_of(script, "finish")
    with terminal(book, columns=columns) as run:
        walk_plain(run, script[: place_of(script, "1.weight_kg")])
        for typed in script[place_of(script, "1.weight_kg") : place]:
            run.type(typed.line)
            screen = run.screen()
            assert typed.line in screen, typed.key
        last = script[place - 1].line
        for prompt in script[:place]:
            if prompt.key[0] in "123" and prompt.line != last:
                assert prompt.line not in screen, prompt.key
        assert screen.count(last) == 1
        run.type("where")
        assert last in run.screen()  # nothing was entered
        run.type("undo")
        assert last not in run.screen()
    assert "K-041" in screen.replace("\n", "")  # nothing else is wiped


def test_a_reading_goes_at_once_where_the_same_site_comes_next(book: Path) -> None:
    script = script_of(MAN | {"plan": "three - chest - abdominal - waist"})
    place = place_of(script, "1.thigh_mm")
    with terminal(book) as run:
        walk_plain(run, script[:place])
        run.type("17.5")
        run.type("back thigh")
        assert "17.5" not in run.screen()
        assert "15 seconds" in run.raw


def test_a_reading_is_not_carried_off_a_low_screen(book: Path) -> None:
    """What scrolls away cannot be wiped: in a window of twelve rows a long text hides it before."""
    script = script_of(MAN)
    place = place_of(script, "2.thigh_mm")
    with terminal(book, columns=40, rows=12) as run:
        walk_plain(run, script[:place])
        run.type("where")
        run.type("help")
        screen = run.screen()
    for typed in script[:place]:
        if typed.key[0] in "123":
            assert typed.line not in screen, typed.key


@pytest.mark.parametrize("columns", [40, 60, 80, 200])
def test_no_word_is_broken_at_any_width(book: Path, columns: int) -> None:
    script = script_of(MAN)
    place = place_of(script, "2.chest_mm")
    with terminal(book, columns=columns) as run:
        walk_plain(run, script[:place])
        for line in ("where", "how", "help", "cannot"):
            run.type(line)
        run.type("stop")
        raw = run.raw
    with terminal(book, "--resume", columns=columns) as run:
        raw += run.until_asked()
    with terminal(book, "--client", "K-041", columns=columns, from_nothing=True) as run:
        assert run.ended() == 2  # it works only with --resume
        raw += f"\n{run.raw}"
    lines = re.sub(r"\x1b\[\d*[A-Z]", "", raw).replace("\r", "").split("\n")
    paths = str(book)  # a path is longer than a narrow line and stays whole
    assert [line for line in lines if len(line) > min(columns, 80) and paths not in line] == []
    words = set(re.findall(r"[A-Za-z]{4,}", " ".join(lines)))
    assert {"armpit", "calliper", "underwear", "session"} <= words


def test_without_blind_the_readings_stay(book: Path) -> None:
    script = script_of(MAN, {"blind": False})
    with terminal(book, "--no-blind", from_nothing=True) as run:
        walk_plain(run, script[: place_of(script, "finish")])
        screen = run.screen()
        assert "12.5" in run.type("where")
    assert screen.count("80.4") == 2
    assert "\x1b" not in run.raw


def test_where_hides_readings_while_blind(book: Path) -> None:
    script = script_of(MAN)
    with terminal(book) as run:
        walk_plain(run, script[: place_of(script, "2.chest_mm")])
        shown = run.type("where")
    assert "abdominal skinfold" in shown
    assert not NUMBER.search(shown.split("abdominal skinfold", 1)[0])


def test_a_page_without_a_known_ending_is_not_written(book: Path) -> None:
    script = script_of(MAN)
    with terminal(book) as run:
        walk_plain(run, script)
        for name in ("page", "page.", "page.docx"):
            shown = run.type(name)
            assert ".pdf, .html or .txt" in " ".join(shown.split())
            assert not (book.parent / name).exists()
        run.type("page.txt")
        run.ended()
    assert (book.parent / "page.txt").exists()


def test_at_the_keyboard_an_undone_fold_rests_and_a_bare_ending_is_no_name(book: Path) -> None:
    """Typed through a whole session; before, undo did not say it, and .pdf was "ending not known"."""
    script = script_of(MAN)
    with terminal(book, columns=80) as run:
        walk_plain(run, script[: place_of(script, "1.abdominal_mm")])
        run.type("22.5")
        assert "at least 15 seconds" in " ".join(run.type("undo").split())
        assert "was it 22.3?" in run.type("223")
        run.type_all(script[place_of(script, "1.abdominal_mm") :])
        for name in (".pdf", "page", "page.doc"):
            shown = " ".join(run.type(name).split())
            assert f"{name} needs an extension that says what kind of page it is" in shown
        run.type("")
        assert run.ended() == 0
