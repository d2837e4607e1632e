"""A client who comes back: known at once, asked back where it cannot be the same person, "still so?"."""

from __future__ import annotations

import io
import sqlite3
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from prompt_table import WOMAN, both, walk

from foldspan.cli import main
from foldspan.records import storage
from foldspan.records.book import Book
from foldspan.records.visits import last_visit
from foldspan.session.answers import LastVisit
from foldspan.session.parse_input import parse_line
from foldspan.session.state import State, replayed
from foldspan.session.to_visit import reported_before, visit_tree
from foldspan.text.questions import page_lines
from measure_driver import MAN, record, script_of

LAST_ANSWERS = {
    "eating_concern": False, "symptoms": ["falls"], "conditions": [], "medicines": [],
    "surgery_months_ago": 14.0, "athlete": True, "plan": ["quick"], "calliper": "ring",
}  # fmt: skip
LAST = LastVisit({"height_cm": 179.5}, 52.0, LAST_ANSWERS, "male", 34.0, "2025-03-04", 2)


def begun(last: LastVisit | None = LAST, **more: Any) -> State:
    state = State(last=last).after(
        "begun", {"tester": "T-02", "repeat_rule": "2mm", "units": "metric"}
    )
    for key, value in {"code": "K-041", **more}.items():
        state = state.after("answer", {"key": key, "value": value})
    return state


def typed(
    book: Path, lines: list[str], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str],
    *options: str,
) -> str:  # fmt: skip
    """Type lines at the program; return what it said, on one line."""
    monkeypatch.setattr(sys, "stdin", io.StringIO("".join(f"{line}\n" for line in lines)))
    monkeypatch.setattr(sys, "argv", ["foldspan", "measure", "--book", str(book), *options])
    with pytest.raises(SystemExit):
        main()
    captured = capsys.readouterr()
    return " ".join(f"{captured.err} {captured.out}".split())


@pytest.mark.parametrize(
    ("key", "line", "is_asked_back"),
    [
        ("sex", "f", True), ("sex", "m", False),
        # told 34 a year ago: 34.0 to 35.0 then, so 35 or, with the birthday near, 34 or 36
        ("age_years", "35", False), ("age_years", "34", False), ("age_years", "36", False),
        ("age_years", "37", True), ("age_years", "33", True), ("age_years", "62", True),
    ],
)  # fmt: skip
def test_a_sex_or_age_of_somebody_else_is_asked_back(
    key: str, line: str, is_asked_back: bool
) -> None:
    state = begun(**({} if key == "sex" else {"sex": "male"}))
    if key == "sex":
        assert state.prompt.key == "page.who"
        state = state.after("page", {"key": "page.who", "values": {}})
    assert state.prompt.key == key
    parsed = parse_line(state, line)
    assert parsed.asks_back == is_asked_back
    if is_asked_back:
        assert parsed.problem is not None
        assert "code" in parsed.problem.remedy
        assert parse_line(state, line, asked_back=line).event == "answer"
    assert not parse_line(begun(None, **({} if key == "sex" else {"sex": "male"})), line).asks_back


def test_sex_and_age_are_one_page_for_a_client_who_is_known() -> None:
    """The age is the one to expect: told 34 a year ago, so 34.5 then on average, and 35 by now."""
    state = begun()
    shown = dict(page_lines(state.prompt, state.known))
    assert shown == {"sex": "male", "age": "35 by now"}
    for line, expected in (
        ("y", {"sex": "male", "age_years": 35.0}), ("age 36", {"sex": "male", "age_years": 36.0}),
        ("age", {"sex": "male"}), ("sex", {"age_years": 35.0}), ("n", {}),
    ):  # fmt: skip
        assert dict(parse_line(state, line).body or {})["values"] == expected
    other = parse_line(state, "age 62")
    assert other.asks_back
    assert other.problem is not None
    assert "differs from the last visit" in other.problem.what
    stands = parse_line(state, "age 62", asked_back="age 62")
    assert dict(stands.body or {})["values"] == {"sex": "male", "age_years": 62.0}
    assert parse_line(state, "35").problem is not None
    for unknown in (LAST._replace(age_years=None), LAST._replace(sex=""), None):
        assert begun(unknown).prompt.key == "sex"


def test_a_height_of_somebody_else_is_asked_back() -> None:
    answers = {
        "sex": "male",
        "age_years": 35.0,
        "consent.store": True,
        "still": True,
        **LAST_ANSWERS,
    }
    answers |= {
        f"consent.{item}": True for item in ("touch", "uncover", "mark", "writer", "show", "share")
    }
    answers |= {"consent.witness": False, "prepared.rested": True, "mark.waist_midpoint_cm": None}
    answers |= {"1.weight_kg": {"value": 80.0, "typed": "80"}, "anabolic_drugs": False}
    answers |= {
        "family_background": "none",
        "blood_pressure_mmhg": "none",
        "earlier_weight_kg": "none",
    }
    state = begun(**answers)
    assert state.prompt.key == "1.height_cm"
    parsed = parse_line(state, "171")
    assert parsed.asks_back
    assert parsed.problem is not None
    assert "same person" in parsed.problem.remedy
    assert not parse_line(state, "179").asks_back


def test_all_still_so_is_one_answer_and_undone_in_one_step() -> None:
    state = begun(sex="male", age_years=35.0, **{"consent.store": True})
    assert state.prompt.kind == "still"
    parsed = parse_line(state, "y")
    after = state.after(parsed.event, parsed.body or {})
    assert {key: after.known.get(key) for key in LAST_ANSWERS} == LAST_ANSWERS
    # what was never told is asked, on one page
    assert after.prompt.key == "page.more"
    assert after.prompt.words == (
        "blood_pressure_mmhg", "earlier_weight_kg", "anabolic_drugs", "family_background",
    )  # fmt: skip
    assert after.after("undo", {}).prompt.kind == "still"
    assert replayed([*after.events()]).known.answers == after.known.answers


@pytest.mark.parametrize(
    ("line", "asked"),
    [("n", list(LAST_ANSWERS)), ("symptoms", ["symptoms"]), ("2, plan", ["symptoms", "plan"])],
)
def test_only_what_changed_is_asked_anew(line: str, asked: list[str]) -> None:
    state = begun(sex="male", age_years=35.0, **{"consent.store": True})
    parsed = parse_line(state, line)
    after = state.after(parsed.event, parsed.body or {})
    assert [key for key in LAST_ANSWERS if key not in after.known.answers] == asked


@pytest.mark.parametrize("line", ["", "symptom falls", "yes please", "nothing changed", "99"])
def test_a_slip_on_the_page_is_asked_back(line: str) -> None:
    state = begun(sex="male", age_years=35.0, **{"consent.store": True})
    parsed = parse_line(state, line)
    assert not parsed.event
    assert parsed.problem is not None


def test_what_holds_on_one_day_only_is_never_carried() -> None:
    tree = {
        "client": {"sex": "female", "age_years": 30, "pregnant": True, "athlete": False},
        "intake": {
            "blood_pressure_mmhg": [128.0, 82.0], "birth_months_ago": 3.0, "loss_wanted": True,
            "earlier_weight_kg": 70.0, "earlier_weight_months_ago": 6.0, "symptoms": ["steroid ache"],
            "medicines": ["steroid"], "surgery_months_ago": "none",
        },
    }  # fmt: skip
    assert reported_before(tree, 5.0) == {
        "athlete": False, "birth_months_ago": 8.0, "medicines": ["cortisone_tablets"],
        "surgery_months_ago": "none", "earlier_weight_kg": 70.0, "earlier_weight_months_ago": 11.0,
        "blood_pressure_mmhg": None,  # a line to tell a new one at, no value
    }  # fmt: skip
    undated = {"client": {}, "intake": {"earlier_weight_kg": 70.0}}
    assert reported_before(undated, 5.0) == {"earlier_weight_kg": None}
    assert "birth_months_ago" not in reported_before(tree, None)


def test_a_pregnancy_is_asked_anew_each_time() -> None:
    tree = {"client": {"sex": "female", "age_years": 30, "pregnant": False}, "intake": {}}
    assert reported_before(tree, 5.0) == {}


def test_what_hangs_on_the_sex_is_asked_anew_once_it_was_mended() -> None:
    answers = {**LAST_ANSWERS, "periods_stopped": False}
    state = begun(
        LAST._replace(reported=answers), sex="female", age_years=35.0, **{"consent.store": True}
    )
    assert "plan" not in state.prompt.words
    parsed = parse_line(state, "y")
    after = state.after(parsed.event, parsed.body or {})
    assert not {"plan", "periods_stopped"} & set(after.known.answers)
    assert after.known.get("symptoms") == ["falls"]


def test_a_returning_client_needs_no_more_prompts_than_asked_for() -> None:
    new, again = both()
    assert len(new) <= 20
    assert len(again) <= 12
    bare = WOMAN | {"page.more": "none", "page.women": "none"}
    assert len(walk(bare)[0]) <= 17


def test_the_session_says_at_once_whether_a_code_is_known(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    book = tmp_path / "book.sqlite"
    lines = [prompt.line for prompt in script_of(MAN | {"plan": "quick"})]
    first = typed(book, [*lines, ""], monkeypatch, capsys)
    assert "K-041: a new code." in first
    again = typed(book, ["K-041", "T-05", "y", "y", "help"], monkeypatch, capsys)
    assert "K-041: in the book; last visit" in again
    assert "1 visit" in again
    assert "eating no" in again
    assert "plan quick" in again
    alike = typed(book, ["k 041"], monkeypatch, capsys)
    assert "but K-041 is already in the book" in alike


def test_a_book_gives_what_was_told_with_its_corrections(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    book = tmp_path / "book.sqlite"
    lines = [prompt.line for prompt in script_of(MAN | {"plan": "quick", "symptoms": "falls"})]
    typed(book, [*lines, ""], monkeypatch, capsys)
    fix = [
        "records",
        "correct",
        "K-041",
        "symptoms",
        "slow walking or falls",
        "--visit",
        "1",
        "--who",
        "T-05",
    ]
    monkeypatch.setattr(
        sys, "argv", ["foldspan", *fix, "--why", "heard wrong", "--book", str(book)]
    )
    with pytest.raises(SystemExit):
        main()
    with Book.opened(str(book)) as opened:
        from datetime import date

        last = last_visit(opened, "K-041", date.today())
    assert last is not None
    assert (last.sex, last.age_years, last.visits) == ("male", 34.0, 1)
    assert last.reported["symptoms"] == ["slow", "falls"]
    assert last.reported["plan"] == ["quick"]


def test_nothing_is_on_the_disk_before_the_client_agreed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    book = tmp_path / "book.sqlite"
    said = typed(book, ["K-091", "T-02", "f", "33"], monkeypatch, capsys)
    before, _, _ = said.partition("May we keep")
    assert "Everyone who uses this record book can read" in before
    assert record(book) == []
    assert b"K-091" not in b"".join(path.read_bytes() for path in tmp_path.iterdir())
    typed(book, ["K-091", "T-02", "f", "33", "y"], monkeypatch, capsys)
    (kept,) = record(book)
    assert [body.get("key") for kind, body in kept.events if kind == "answer"] == [
        "code", "tester", "sex", "age_years", "consent.store",
    ]  # fmt: skip


def test_a_minor_without_a_guardian_is_not_measured(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    book = tmp_path / "book.sqlite"
    said = typed(book, ["K-092", "T-02", "f", "15", "n"], monkeypatch, capsys)
    assert "Nothing is measured" in said
    assert record(book) == []
    state = begun(None, sex="male", age_years=15.0)
    assert state.prompt.key == "guardian"
    state = state.after("answer", {"key": "guardian", "value": True})
    assert state.prompt.key == "go_on.E201"
    state = state.after("answer", {"key": "go_on.E201", "value": True})
    assert state.prompt.key == "consent.store"


@pytest.mark.parametrize("order", [("show", "store"), ("store", "show")])
def test_neither_kept_nor_shown_is_said_and_done(
    order: tuple[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    """ "Results are shown once" stood there, and then nothing was shown."""
    book = tmp_path / "book.sqlite"
    script = script_of(MAN | {"plan": "quick"})
    place = next(place for place, prompt in enumerate(script) if prompt.key == "1.height_cm")
    lines = [prompt.line for prompt in script]
    taken = [f"withdraw {consent}" for consent in order for _ in range(1 + (consent == "store"))]
    said = typed(book, [*lines[:place], *taken, *lines[place:]], monkeypatch, capsys)
    after = said.rpartition(f"withdraw {order[-1]}")[2] or said
    assert "nothing from today's visit will remain" in after
    assert "type back show" in after
    assert "best single estimate" not in said
    assert "nothing was saved" in said
    back = [*lines[:place], *taken, "back show", "y", *lines[place:], ""]
    shown = typed(book, back, monkeypatch, capsys)
    assert "best single estimate" in shown
    assert record(book) == []


# A session as an earlier version kept it: consent to keep first, every question by itself.
OLD: list[tuple[str, Any]] = [
    ("consent.store", True), ("code", "K-077"), ("tester", "T-02"), ("sex", "female"),
    ("age_years", 36.0), ("pregnant", False), ("birth_months_ago", None), ("eating_concern", False),
    ("symptoms", None), ("conditions", ["diabetes"]), ("medicines", ["steroid"]),
    ("periods_stopped", None), ("surgery_months_ago", None), ("blood_pressure_mmhg", None),
    ("athlete", None), ("family_background", None), ("earlier_weight_kg", None),
    ("plan", ["three"]), ("consent.touch", True), ("consent.pinch", True),
    ("consent.uncover", True), ("consent.mark", True), ("consent.writer", False),
    ("consent.witness", False), ("consent.show", True), ("consent.share", True),
    ("prepared.skin", True), ("prepared.rested", True), ("calliper", "ring"),
    ("mark.waist_midpoint_cm", None), ("mark.triceps_mm", {"value": 33.0, "typed": "33"}),
    ("mark.suprailiac_anterior_mm", None), ("mark.thigh_mm", None),
    ("1.weight_kg", {"value": 64.0, "typed": "64"}),
]  # fmt: skip


@pytest.mark.parametrize("count", range(1, len(OLD) + 1))
def test_a_session_of_an_earlier_version_goes_on_where_it_stood(count: int) -> None:
    events = [("answer", {"key": key, "value": value}) for key, value in OLD[:count]]
    state = replayed([("begun", {"repeat_rule": "2mm"}), *events])
    assert {key: state.known.get(key) for key, _ in OLD[:count]} == dict(OLD[:count])
    assert state.prompt.key not in dict(OLD[:count])
    assert not set(state.prompt.words) & set(dict(OLD[:count]))
    if count == len(OLD):
        assert state.prompt.key == "1.height_cm"
        tree = visit_tree(state)
        # Enter was "none" and "no answer" alike: it stays "not asked"
        assert tree["intake"] == {
            "eating_concern": False, "conditions": ["diabetes"], "medicines": ["steroid"],
        }  # fmt: skip


def test_a_book_of_an_earlier_version_opens_and_its_session_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    book = tmp_path / "book.sqlite"
    with Book.opened(str(book)) as opened:
        row = opened.begin("K-077")
        opened.append(row, "begun", {"repeat_rule": "2mm", "units": "metric"}, place=1)
        for place, (key, value) in enumerate(OLD, start=2):
            opened.append(row, "answer", {"key": key, "value": value}, place=place)
    with closing(sqlite3.connect(book)) as connection:
        connection.execute("PRAGMA user_version = 1")
    said = typed(book, ["168", "68", "end", ""], monkeypatch, capsys, "--resume")
    assert "Continuing with K-077" in said
    (kept,) = record(book)
    assert kept.tree["mass_height"] == {"weight_kg": [64.0], "height_cm": [168.0]}
    assert kept.has_ended
    with closing(sqlite3.connect(book)) as connection:
        assert connection.execute("PRAGMA user_version").fetchone()[0] == storage.SCHEMA


def test_a_minor_of_an_earlier_version_keeps_what_was_told() -> None:
    answers = [("consent.store", True), ("code", "K-078"), ("tester", ""), ("sex", "male"),
            ("age_years", 15.0), ("go_on.E201", True), ("eating_concern", False),
            ("symptoms", ["falls"])]  # fmt: skip
    events = [("answer", {"key": key, "value": value}) for key, value in answers]
    state = replayed([("begun", {"repeat_rule": "2mm"}), *events])
    assert state.known.get("symptoms") == ["falls"]
    assert state.prompt.key == "conditions"
