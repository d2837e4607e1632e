"""``foldspan measure`` as it is seen at a terminal: what is asked, what is shown, what is kept."""

from __future__ import annotations

import io
import re
import sqlite3
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from foldspan.catalogue import EQUATIONS
from foldspan.cli import main
from foldspan.estimation.evaluate import needed
from foldspan.measuring import conducted
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
    terminal,
    walk_plain,
)

NUMBER = re.compile(r"\d+\.\d|\d+ ?(?:%|kg|lb)")
WOMAN = MAN | {"sex": "female", "code": "K-042", "pregnant": "n"}


def readings(script: list[Typed], turn: str = "") -> list[str]:
    return [typed.key for typed in script if typed.key[0] in (turn or "123")]


def walk(run: Terminal, script: list[Typed]) -> str:
    """Type a script; every reading is asked by the name of its site."""
    seen = run.until_asked()
    for typed in script:
        if typed.key[0] in "123":
            label = BY_NAME[typed.key[2:]].label
            assert label in " ".join(seen[-300:].lower().split()), typed.key
        seen = run.type(typed.line)
    return seen


def whole(book: Path, script: list[Typed], *options: str, **how: Any) -> tuple[Terminal, str]:
    """Run a session to its end; returns the terminal and what came after the last answer."""
    with terminal(book, *options, **how) as run:
        tail = walk(run, script)
        if tail.endswith(": "):  # a page is offered
            tail += run.type("")
        assert run.ended() == 0, tail
    assert "Traceback" not in run.raw
    return run, tail


def only(book: Path) -> Kept:
    (kept,) = record(book)
    return kept


def bytes_of(folder: Path) -> bytes:
    return b"".join(path.read_bytes() for path in folder.rglob("*") if path.is_file())


@pytest.fixture
def book(tmp_path: Path) -> Path:
    return tmp_path / "book.sqlite"


def test_a_session_from_the_prompts_alone(book: Path) -> None:
    _, tail = whole(book, script_of(MAN), from_nothing=True)
    assert "80% range" in tail
    assert "Fat mass" in tail
    assert "Fat-free mass" in tail
    assert " kg" in tail
    assert only(book).tree["skinfolds_mm"]["chest"] == [12.5, 12.5]
    assert only(book).has_ended
    assert book.stat().st_mode & 0o077 == 0


def test_third_readings_on_exactly_the_two_sites_that_lie_apart(book: Path) -> None:
    """2 mm, common practice, no source: 2.0 apart agree, more do not."""
    answers = MAN | {"2.chest_mm": "14.6", "3.chest_mm": "13.0", "2.abdominal_mm": "24.5"}
    answers |= {"2.thigh_mm": "13.0", "3.thigh_mm": "15.0"}
    script = script_of(answers)
    assert readings(script, "3") == ["3.chest_mm", "3.thigh_mm"]
    whole(book, script)
    folds = only(book).tree["skinfolds_mm"]
    assert {name: len(taken) for name, taken in folds.items()} == {
        "chest": 3, "abdominal": 2, "thigh": 3,
    }  # fmt: skip


def test_a_dumb_terminal_gets_no_escape_codes(book: Path) -> None:
    run, _ = whole(book, script_of(MAN), term="dumb")
    assert "\x1b" not in run.raw


@pytest.mark.parametrize("person", [MAN, WOMAN])
def test_no_touch_turns_seven_folds_into_tape(
    book: Path, person: dict[str, str | tuple[str, ...]]
) -> None:
    script = script_of(person | {"plan": "seven", "consent.touch": "n"})
    kinds = {BY_NAME[key[2:]].kind for key in readings(script)}
    assert kinds == {"mass", "height", "girth"}
    _, tail = whole(book, script)
    assert "80% range" in tail
    assert "skinfolds_mm" not in only(book).tree
    assert {"neck", "waist_midpoint", "hip"} <= set(only(book).tree["girths_cm"])


def test_no_uncovering_takes_the_waist_over_a_layer(book: Path) -> None:
    script = script_of(MAN | {"consent.uncover": "n"})
    asked = {key[2:] for key in readings(script)}
    assert not asked & {"chest_mm", "abdominal_mm", "thigh_mm"}
    _, tail = whole(book, script)
    assert "80% range" in tail
    assert "waist_midpoint" in only(book).tree["how_taken"]["over_clothing"]


COMMANDS = MAN | {
    "1.height_cm": ("where", "how", "help", "note by the window", "178.0", "179.5"),
    "1.waist_midpoint_cm": ("undo", "86.5"), "1.chest_mm": "cannot thick",
    "1.abdominal_mm": ("later", "60+"), "1.thigh_mm": ("back height_1", "left 17.5"),
    "2.weight_kg": "80.6", "2.abdominal_mm": "60+", "2.thigh_mm": ("cannot", "left 18.5"),
}  # fmt: skip


def test_every_command_does_what_help_says(book: Path) -> None:
    run, _ = whole(book, script_of(COMMANDS))
    kept = only(book)
    assert kept.tree["mass_height"] == {"weight_kg": [80.4, 80.6], "height_cm": [179.5, 179.5]}
    assert kept.tree["skinfolds_mm"] == {"abdominal": ["60+", "60+"], "thigh": [17.5, 18.5]}
    assert kept.tree["how_taken"]["left_side"] == ["thigh"]
    assert not any(key.endswith("chest_mm") for key in readings(script_of(COMMANDS), "2"))
    kinds = [kind for kind, _ in kept.events]
    assert {"note", "undo", "later", "again"} <= set(kinds)
    assert ("note", {"key": "1.height_cm", "text": "by the window"}) in kept.events
    assert "vertex" in run.raw  # how: where height is measured
    for word in ("refused", "painful", "lift", "skin"):  # cannot alone lists the reasons
        assert f"cannot {word}" in run.raw


def test_touch_taken_back_in_mid_session(book: Path) -> None:
    script = script_of(MAN | {"2.chest_mm": ("withdraw touch",)})
    place = place_of(script, "2.chest_mm")
    after = readings(script[place + 1 :])
    assert after
    assert all(BY_NAME[key[2:]].kind == "girth" for key in after)
    _, tail = whole(book, script)
    assert "80% range" in tail
    assert ("amend", {"key": "consent.touch", "value": False}) in only(book).events


def test_store_taken_back_leaves_nothing_of_the_client(book: Path) -> None:
    script = script_of(MAN | {"2.abdominal_mm": ("withdraw store", "withdraw store", "22.5")})
    place = place_of(script, "2.abdominal_mm")
    with terminal(book) as run:
        walk_plain(run, script[:place])
        assert b"K-041" in bytes_of(book.parent)
        run.type_all(script[place : place + 3])
        assert record(book) == []
        left = bytes_of(book.parent)
        assert b"K-041" not in left
        assert b"80.4" not in left
        run.type_all(script[place + 3 :])
        run.type("")
        assert run.ended() == 0
    assert record(book) == []


def test_store_taken_back_while_another_reads_the_book_keeps_nothing_anew(book: Path) -> None:
    """A copy may stand on the disk until the other has ended: that is said, and the session goes on."""
    script = script_of(MAN | {"2.abdominal_mm": ("withdraw store", "withdraw store", "22.5")})
    place = place_of(script, "2.abdominal_mm")
    with terminal(book) as run:
        walk_plain(run, script[:place])
        with closing(sqlite3.connect(book)) as other:
            other.execute("BEGIN")
            other.execute("SELECT count(*) FROM visit").fetchone()
            said = run.type_all(script[place : place + 2])
            assert "still has a copy" in " ".join(said.split())
            assert "was not saved" not in said
        assert record(book) == []
        run.type_all(script[place + 2 :])
        run.type("")
        assert run.ended() == 0
    assert record(book) == []


def test_without_consent_to_store_nothing_reaches_the_disk(book: Path) -> None:
    script = script_of(MAN | {"consent.store": "n"})
    with terminal(book) as run:
        walk_plain(run, script[: place_of(script, "3.thigh_mm") if readings(script, "3") else -1])
        assert b"K-041" not in bytes_of(book.parent)
        tail = run.type("")
        run.type("")
        assert run.ended() == 0
    assert "80% range" in tail
    left = bytes_of(book.parent)
    for text in (b"K-041", b"T-05", b"80.4", b"179.5", b"weight_kg", b"chest"):
        assert text not in left
    assert record(book) == []


def test_results_that_are_not_wanted_show_no_number(book: Path) -> None:
    _, tail = whole(book, script_of(MAN | {"consent.show": "n"}))
    assert not NUMBER.search(tail)
    assert only(book).has_ended


def test_consent_to_show_taken_back_in_mid_session(book: Path) -> None:
    _, tail = whole(book, script_of(MAN | {"2.chest_mm": ("withdraw show", "12.5")}))
    assert ("amend", {"key": "consent.show", "value": False}) in only(book).events
    assert not NUMBER.search(tail)


@pytest.mark.parametrize("options", [(), ("--json",)])
def test_worry_about_eating_shows_no_number(book: Path, options: tuple[str, ...]) -> None:
    script = script_of(MAN | {"eating_concern": "y"})
    assert readings(script)
    _, tail = whole(book, script, *options)
    assert not re.search(r"\d\d\.\d|\d ?%|\d ?(kg|lb)\b", tail), tail


SLIPS = [  # prompt, typed, code, a word of the likely slip, whether it stands if typed twice
    ("1.height_cm", "70.5", "E102", "inches", False),
    ("1.waist_midpoint_cm", "34", "E102", "inches", False),
    ("1.weight_kg", "900", "E102", "", False),
    ("1.weight_kg", "24", "E102", "urgent if weight and height are correct", False),
    ("1.chest_mm", "0", "E107", "", False),
    ("1.weight_kg", "195", "E103", "pounds", True),
    ("1.chest_mm", "55", "E103", "5.5", True),
    ("1.height_cm", "abc", "E101", "", False),
    ("1.height_cm", "179,179", "E108", "point", False),
    ("1.thigh_mm", "8 kg", "E105", "", False),
    ("2.chest_mm", "22.9", "E124", "abdominal", True),
    ("1.waist_midpoint_cm", "140", "E123", "", True),
]


@pytest.mark.parametrize(("key", "typed", "code", "slip", "stands"), SLIPS)
def test_implausible_values_are_asked_back_with_the_likely_slip(
    book: Path, key: str, typed: str, code: str, slip: str, stands: bool
) -> None:
    script = script_of(MAN)
    place = place_of(script, key)
    with terminal(book) as run:
        walk_plain(run, script[:place])
        before = len(only(book).events)
        shown = run.type(typed)
        assert code in shown
        assert slip in shown
        assert len(only(book).events) == before
        again = run.type(typed)
        events = only(book).events
        assert (len(events) > before) == stands
        assert (code not in again) == stands
        if stands:
            assert events[-1][1]["value"]["value"] == pytest.approx(float(typed))
            assert events[-1][1]["value"]["confirmed"] == code


def test_pounds_typed_as_kilograms_come_up_with_the_height(book: Path) -> None:
    script = script_of(MAN | {"1.weight_kg": "177"})
    with terminal(book) as run:
        walk_plain(run, script[: place_of(script, "1.height_cm")])
        shown = run.type("179.5")
    assert "E123" in shown
    assert "pounds" in shown


def test_american_units_are_read_kept_and_shown(book: Path) -> None:
    inches = {"weight_kg": "177", "height_cm": "70.5", "waist_midpoint_cm": "34 1/4"}
    script = script_of(MAN | inches, {"units": "us"})
    _, tail = whole(book, script, "--units", "us")
    assert " lb" in tail
    assert " kg" not in tail
    sizes = only(book).tree["mass_height"]
    assert sizes == {"weight_kg": ["177 lb"] * 2, "height_cm": ["70.5 in"] * 2}
    value = dict(only(book).events[-2][1])  # finish; the readings before it
    assert value["key"] == "finish"


@pytest.mark.parametrize(
    ("typed", "folds"),
    [("60 min", 7), ("14 min", 4), ("12 minutes", 3), ("8 min", 0), ("2", 4), ("quick four", 4)],
)
def test_a_plan_by_minutes_by_number_and_by_name(book: Path, typed: str, folds: int) -> None:
    """Minutes: five, a fold 1.5, a girth 1, weight and height 0.5 (common practice, no source)."""
    script = script_of(MAN | {"plan": ("3 min", "nonsense", typed)})
    asked = [key for key in readings(script, "1") if key.endswith("_mm")]
    assert len(asked) == folds
    ran = piped(book, [*(prompt.line for prompt in script), ""])
    assert ran.returncode == 0
    assert len(only(book).tree.get("skinfolds_mm", {})) == folds


def test_a_plan_by_equation_takes_exactly_what_it_needs(book: Path) -> None:
    card = next(
        equation for equation in EQUATIONS
        if equation.method == "skinfold" and equation.sex in ("male", "both")
        and all(name in MAN or name == "age_years" for name in needed(equation))
    )  # fmt: skip
    script = script_of(MAN | {"plan": card.key})
    asked = {key[2:] for key in readings(script)}
    assert asked == {*needed(card), "weight_kg", "height_cm"} - {"age_years"}
    assert piped(book, [*(typed.line for typed in script), ""]).returncode == 0


def test_wrong_words_at_every_prompt_change_nothing(book: Path) -> None:
    script = script_of(MAN)
    free = ("code", "tester", "calliper")  # any word is an answer there
    lines, wrong = [], 0
    for typed in script:
        if typed.key not in free:
            lines += ["qqq zzz", "back nowhere"]
            wrong += 1
        lines.append(typed.line)
    ran = piped(book, [*lines, ""])
    assert ran.returncode == 0, ran.stderr[-500:]
    assert len(re.findall(r"\[E1\d\d\]", " ".join(ran.stderr.split()))) >= wrong
    assert "Traceback" not in ran.stderr
    other = book.with_name("other.sqlite")
    piped(other, [*(prompt.line for prompt in script), ""])
    assert record(book) == record(other)


def test_stop_waits_for_resume_and_end_ends(book: Path) -> None:
    script = script_of(MAN)
    place = place_of(script, "2.weight_kg")
    lines = [typed.line for typed in script[:place]]
    assert piped(book, [*lines, "stop"]).returncode == 130
    assert not only(book).has_ended
    assert piped(book, ["end", ""], "--resume").returncode == 0
    assert only(book).has_ended
    assert only(book).tree["mass_height"] == {"weight_kg": [80.4], "height_cm": [179.5]}


def test_a_book_held_by_another_keeps_the_session_at_its_prompt(book: Path) -> None:
    script = script_of(MAN)
    place = place_of(script, "1.weight_kg")
    with terminal(book) as run:
        walk_plain(run, script[:place])
        other = sqlite3.connect(book, isolation_level=None)
        other.execute("BEGIN IMMEDIATE")
        shown = run.type("81.9")
        assert "E705" in shown
        assert shown.count("81.9") == 1  # the echo of the keyboard, no message
        other.execute("ROLLBACK")
        other.close()
        run.type("81.9")
    assert only(book).events[-1][1]["value"]["value"] == 81.9


def test_no_value_stands_in_the_words_of_a_fault(
    book: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def broken(state: object, line: str, **more: object) -> None:
        raise ValueError(f"cannot hear {line}")

    monkeypatch.delenv("FOLDSPAN_DEBUG", raising=False)
    monkeypatch.setattr(conducted, "parse_line", broken)
    monkeypatch.setattr(sys, "stdin", io.StringIO("81.9\n"))
    monkeypatch.setattr(sys, "argv", ["foldspan", "measure", "--book", str(book)])
    with pytest.raises(SystemExit) as caught:
        main()
    printed = capsys.readouterr()
    assert caught.value.code == 1
    assert "81.9" not in printed.out + printed.err
    assert "Traceback" not in printed.err
