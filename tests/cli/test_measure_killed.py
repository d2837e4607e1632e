"""A session that is killed at any prompt, broken off or cut from its terminal loses nothing."""

from __future__ import annotations

import random
import shutil
import time
from concurrent.futures import Future, ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import pytest

import program_starts
from foldspan.quantities import BY_NAME
from measure_driver import (
    MAN,
    Kept,
    Terminal,
    Typed,
    piped,
    place_of,
    record,
    script_of,
    surroundings,
    terminal,
)

# Three folds and the waist; third readings on two sites; one of every kind of event on the way.
ANSWERS = MAN | {
    "page.marks": ("chest 17", "thigh 41.5", ""),
    "1.height_cm": ("note stands with bent knees", "179.5"), "1.abdominal_mm": ("later", "left 24.5"),
    "1.thigh_mm": ("undo", "19.5"), "1.waist_midpoint_cm": ("later", "86.5"), "2.chest_mm": "15.5",
    "3.chest_mm": "13.5", "2.abdominal_mm": ("back waist_midpoint_2", "22.5"),
    "2.waist_midpoint_cm": ("86.4", "87.4"),
    "2.thigh_mm": ("withdraw mark", "22.0"), "3.thigh_mm": "20.0",
}  # fmt: skip
SCRIPT = script_of(ANSWERS)
LINES = [prompt.line for prompt in SCRIPT]
# lines that are typed before the client has agreed: nothing of them is on the disk until then
UNKEPT = place_of(SCRIPT, "consent.store")


def kept_after(count: int) -> int:
    """Events on disk once ``count`` lines of the script were typed: nothing before the agreement."""
    if count <= UNKEPT:
        return 0
    begun_and_ended = 1 + (count >= len(SCRIPT))
    return begun_and_ended + sum(typed.is_event for typed in SCRIPT[:count])


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> Kept:
    """The record of the session that nothing interrupted."""
    book = tmp_path_factory.mktemp("whole") / "book.sqlite"
    with terminal(book, from_nothing=True) as run:
        run.until_asked()
        for typed in SCRIPT:
            if typed.key[0] in "123":
                label = BY_NAME[typed.key[2:]].label
                assert label in " ".join(run.raw[-200:].lower().split()), typed.key
            run.type(typed.line)
        run.type("")  # no page for the client
        assert run.ended() == 0
    (kept,) = record(book)
    return kept


@dataclass(frozen=True)
class Killed:
    """A kill at one prompt: the lines typed before, what the book held, how a copy of it went on."""

    place: int
    typed: Typed | None
    kept: list[Kept]
    went_on: Future[list[Kept]] | None


def copied(book: Path, folder: Path) -> Path:
    """Copy a book as it lies on the disk, with what is still in its log."""
    folder.mkdir()
    for part in book.parent.glob(f"{book.name}*"):
        shutil.copy(part, folder / part.name)
    return folder / book.name


def gone_on(book: Path, place: int) -> list[Kept]:
    """Resume a session, type what is left of it, and return the record."""
    resumes = ("--resume",) if UNKEPT < place <= len(SCRIPT) - 1 else ()
    if place < len(SCRIPT):
        ran = piped(book, [*LINES[place if resumes else 0 :], ""], *resumes)
        assert ran.returncode == 0, ran.stderr[-400:]
        assert "80% range" in ran.stdout
    return record(book)


@pytest.fixture(scope="module")
def kills(tmp_path_factory: pytest.TempPathFactory) -> list[Killed]:
    """One session killed at every prompt and resumed; of every fourth book a copy goes on by itself."""
    folder = tmp_path_factory.mktemp("killed")
    book = folder / "book.sqlite"
    found = []
    with ThreadPoolExecutor(2) as pool:
        for place in range(len(SCRIPT) + 1):
            # what was not agreed to is typed anew
            is_new = place <= UNKEPT + 1
            run = Terminal(book, *(() if is_new else ("--resume",)))
            run.until_asked()
            run.type_all(SCRIPT[0 if is_new else place - 1 : place])
            if place < len(SCRIPT) and place % 2:
                run.half(SCRIPT[place].line[:2])
            run.kill()
            copy = copied(book, folder / f"{place}")
            now = record(copied(book, folder / f"{place}_read"))
            typed = SCRIPT[place] if place < len(SCRIPT) else None
            found.append(
                Killed(
                    place, typed, now, pool.submit(gone_on, copy, place) if place % 4 == 0 else None
                )
            )
    return found


def test_the_script_has_third_readings_on_exactly_two_sites() -> None:
    assert [typed.key for typed in SCRIPT if typed.key[0] == "3"] == ["3.chest_mm", "3.thigh_mm"]
    kinds = ("note", "later", "left", "undo", "back", "withdraw")
    assert all(any(typed.line.startswith(kind) for typed in SCRIPT) for kind in kinds)
    assert len(SCRIPT) >= 40


def test_what_was_typed_is_what_the_whole_session_kept(whole: Kept) -> None:
    """Typed by hand from the answers above, not taken from the program."""
    assert whole.tree["skinfolds_mm"] == {
        # the second abdominal reading was taken on the left: the later side counts
        "chest": [12.5, 15.5, 13.5], "abdominal": [22.5], "thigh": [19.5, 22.0, 20.0],
    }  # fmt: skip
    assert whole.tree["girths_cm"] == {"waist_midpoint": [86.5, 87.4]}
    assert whole.tree["mass_height"] == {"weight_kg": [80.4, 80.4], "height_cm": [179.5, 179.5]}
    assert whole.tree["client"] == {"code": "K-041", "sex": "male", "age_years": 34.0}
    assert len(whole.events) == kept_after(len(SCRIPT))
    assert whole.has_ended


def test_killed_at_every_prompt_the_book_holds_all_that_was_typed(
    whole: Kept, kills: list[Killed]
) -> None:
    assert len(kills) == len(SCRIPT) + 1
    for kill in kills:
        if kill.place <= UNKEPT:
            assert kill.kept == []
            continue
        (kept,) = kill.kept
        # half a line without Enter counts for nothing; every line before it is there, once
        assert kept.events == whole.events[: kept_after(kill.place)], kill.typed
        assert kept.has_ended == (kill.place == len(SCRIPT))


def test_resumed_after_every_kill_the_record_is_that_of_the_whole_session(
    whole: Kept, kills: list[Killed]
) -> None:
    for kill in kills:
        assert kill.went_on is None or kill.went_on.result() == [whole], kill.typed


def test_killed_at_every_prompt_of_one_session_nothing_is_lost_or_twice(
    whole: Kept, kills: list[Killed]
) -> None:
    """The last book went through all the kills, one after the other."""
    assert kills[-1].kept == [whole]


def test_nothing_waits_before_the_agreement_and_after_the_end(
    tmp_path: Path, kills: list[Killed]
) -> None:
    book = tmp_path / "book.sqlite"
    for lines in ([], LINES):  # nothing agreed yet; ended
        piped(book, [*lines, ""])
        ran = piped(book, [], "--resume")
        assert ran.returncode == 2
        assert "E706" in ran.stderr
        assert "Traceback" not in ran.stderr


@pytest.mark.parametrize("key", ["symptoms", "plan", "1.weight_kg", "2.chest_mm", "finish"])
def test_control_c_stops_and_the_session_goes_on(tmp_path: Path, whole: Kept, key: str) -> None:
    book, place = tmp_path / "book.sqlite", place_of(SCRIPT, key)
    with terminal(book) as run:
        run.until_asked()
        run.type_all(SCRIPT[:place])
        run.half("9")
        run.child.sendintr()
        assert run.ended() == 130
        assert "--resume" in run.raw
        assert "Traceback" not in run.raw
    assert [session.events for session in record(book)] == [whole.events[: kept_after(place)]]
    assert gone_on(book, place) == [whole]


def test_a_second_control_c_at_the_page_loses_nothing(tmp_path: Path, whole: Kept) -> None:
    book = tmp_path / "book.sqlite"
    with terminal(book) as run:
        run.until_asked()
        run.type_all(SCRIPT)
        run.child.sendintr()
        assert run.ended() in (0, 130)
        assert "Traceback" not in run.raw
    assert record(book) == [whole]


def test_control_c_before_the_agreement_keeps_nothing(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    with terminal(book) as run:
        run.until_asked()
        run.child.sendintr()
        assert run.ended() == 130
        assert "--resume" not in run.raw
    assert record(book) == []


@pytest.mark.parametrize("key", ["page.consent", "3.thigh_mm"])
def test_a_closed_terminal_loses_nothing(tmp_path: Path, whole: Kept, key: str) -> None:
    book, place = tmp_path / "book.sqlite", place_of(SCRIPT, key)
    with terminal(book) as run:
        run.until_asked()
        run.type_all(SCRIPT[:place])
        run.half("1")
        run.hang_up()
    assert [session.events for session in record(book)] == [whole.events[: kept_after(place)]]
    assert gone_on(book, place) == [whole]


@pytest.mark.parametrize("key", ["eating_concern", "page.marks", "1.thigh_mm", "3.chest_mm"])
def test_the_end_of_a_pipe_stops_and_the_session_goes_on(
    tmp_path: Path, whole: Kept, key: str
) -> None:
    book, place = tmp_path / "book.sqlite", place_of(SCRIPT, key)
    ran = piped(book, LINES[:place])
    assert ran.returncode == 130
    assert ran.stdout == ""
    assert "--resume" in ran.stderr
    assert "Traceback" not in ran.stderr
    assert [session.events for session in record(book)] == [whole.events[: kept_after(place)]]
    assert gone_on(book, place) == [whole]


def test_end_of_file_at_the_keyboard_is_the_end_of_input(tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    with terminal(book) as run:
        run.until_asked()
        run.type_all(SCRIPT[: UNKEPT + 2])
        run.child.sendeof()
        assert run.ended() == 130
    assert len(record(book)[0].events) == kept_after(UNKEPT + 2)


def flooded(book: Path, delay: float, *, from_nothing: bool) -> list[Kept]:
    """Push the whole session through a pipe at once, kill it after a while, resume and finish it."""
    kill = program_starts.flooded(
        ["measure", "--book", str(book)], typed="\n".join(LINES) + "\n", folder=book.parent,
        environment=surroundings(book.parent), from_nothing=from_nothing,
    )  # fmt: skip
    until = time.monotonic() + 20
    while not (book.exists() and book.stat().st_size) and time.monotonic() < until:
        time.sleep(0.002)
    time.sleep(delay)
    kill()
    found = record(copied(book, book.parent / "read"))
    if not found or found[0].has_ended or not found[0].events:
        return [session for session in found if session.events]
    # the fault may lie between two events: go on from what the book says
    answered, place = len(found[0].events) - 1, 0
    while sum(typed.is_event for typed in SCRIPT[:place]) < answered:
        place += 1
    ran = piped(book, [*LINES[place:], ""], "--resume")
    assert ran.returncode == 0, ran.stderr[-400:]
    return record(book)


def test_killed_at_any_moment_what_the_book_holds_goes_on(tmp_path: Path, whole: Kept) -> None:
    """Not only at a prompt: at random moments while lines come in as fast as they can."""
    moments = random.Random(6)
    for order in range(10):
        folder = tmp_path / f"{order}"
        folder.mkdir()
        held = flooded(
            folder / "book.sqlite", moments.uniform(0.0, 0.25), from_nothing=order % 5 == 0
        )
        assert held in ([], [whole])
