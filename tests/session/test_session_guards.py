"""What a session and its book must never lose: a nought that says something, the shape of the book."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from functools import cache
from pathlib import Path

import pytest

import foldspan
from foldspan.problems import FoldspanError
from foldspan.records.book import Book
from foldspan.records.visits import visit_of
from foldspan.session.answers import is_unsteady
from foldspan.session.parse_input import parse_line
from foldspan.session.state import State
from foldspan.session.to_visit import visit_tree
from measure_driver import FACTS, MAN, script_of


def answered(**answers: object) -> State:
    state = State().after("begun", {"repeat_rule": "2mm", "day": "2026-03-04"})
    weight = {"value": 61.5, "typed": "61.5"}
    given = {"code": "K-061", "sex": "female", "age_years": 30.0, **answers, "1.weight_kg": weight}
    for key, value in given.items():
        state = state.after("answer", {"key": key, "value": value})
    return state


@pytest.mark.parametrize("key", ["birth_months_ago", "surgery_months_ago"])
def test_this_month_is_not_nothing(key: str) -> None:
    """0 months ago is the most recent of all."""
    more = {"go_on.E204": True} if key == "birth_months_ago" else {}
    tree = visit_tree(answered(**{key: 0.0}, **more))
    assert tree["intake"] == {key: 0.0}


def test_a_birth_of_this_month_gives_no_range() -> None:
    tree = visit_tree(answered(birth_months_ago=0.0, **{"go_on.E204": True}))
    result = foldspan.reconcile(visit_of(tree, where="session"))
    assert [problem.code for problem in result.problems] == ["E204"]


def test_a_no_is_kept_and_what_was_not_answered_is_not_there() -> None:
    noes = {"eating_concern": False, "periods_stopped": False, "symptoms": []}
    assert visit_tree(answered(**noes))["intake"] == noes
    assert "intake" not in visit_tree(answered(**dict.fromkeys(noes)))
    lost = {"earlier_weight_kg": 70.0, "earlier_weight_months_ago": 3.0, "loss_wanted": False}
    assert visit_tree(answered(plan=["quick"], **lost))["intake"] == lost


@pytest.mark.parametrize("damage", ["DROP TRIGGER event_stays", "CREATE TABLE other (id INTEGER)"])
def test_a_book_of_another_shape_is_damaged(tmp_path: Path, damage: str) -> None:
    """Without its trigger an event could be changed and nobody would know."""
    path = str(tmp_path / "book.sqlite")
    with Book.opened(path):
        pass
    with closing(sqlite3.connect(path)) as connection:
        connection.execute(damage)
        connection.commit()
    with pytest.raises(FoldspanError) as caught, Book.opened(path):
        pass
    assert [problem.code for problem in caught.value.problems] == ["E702"]


@cache
def before(key: str, **answers: str) -> State:
    """The session of the invented man, as a woman, up to a prompt."""
    given = MAN | {"sex": "female", "consent.chest": "y"} | answers
    state = State().after("begun", FACTS)
    for typed in script_of(given):
        if state.prompt.key == key:
            break
        parsed = parse_line(state, typed.line)
        if parsed.event:
            state = state.after(parsed.event, parsed.body or {})
    return state


def words_of_a_file(weight: float, height: float) -> str:
    """What a visit file of this body says to be urgent, from "if" on."""
    tree = {
        "client": {"sex": "female", "age_years": 30},
        "mass_height": {"weight_kg": weight, "height_cm": height},
    }
    with pytest.raises(FoldspanError) as caught:
        foldspan.Visit.from_dict(tree)
    urgent = next(problem for problem in caught.value.problems if problem.code == "E127")
    return urgent.sentence().partition(": if ")[2]


def test_a_weight_that_is_refused_says_that_it_is_urgent_if_it_is_right() -> None:
    """24 kg is refused, 39 kg at 170 cm asked back: both would need a doctor the same day."""
    state = before("1.weight_kg")
    refused = parse_line(state, "24")
    assert refused.problem is not None
    assert (refused.problem.code, refused.asks_back) == ("E102", False)
    assert refused.first is not None
    said = refused.first.sentence()
    assert said.partition(": if ")[2] == words_of_a_file(24.0, 165.0)
    assert "should see a doctor today" in said
    light = state.after("answer", {"key": "1.weight_kg", "value": {"value": 39.0, "typed": "39"}})
    asked_back = parse_line(light, "170")
    assert asked_back.first is not None
    assert asked_back.first.sentence() == said
    again = parse_line(light, "170", asked_back="170")
    assert (again.event, again.first) == ("answer", None)  # it is accepted; the end tells of it


@pytest.mark.parametrize("line", ["8", "420", "7.5 st", "62"])
def test_a_slip_or_a_usual_weight_is_not_called_urgent(line: str) -> None:
    assert parse_line(before("1.weight_kg"), line).first is None


def test_a_height_that_nobody_has_calls_nothing_urgent() -> None:
    assert parse_line(before("1.height_cm", weight_kg="62"), "270").first is None


def test_a_fold_at_the_end_of_the_scale_is_taken_at_once() -> None:
    """Whoever types a plus has looked at the scale: a bare 60 is asked back, "60+" is not."""
    state = before("1.triceps_mm")
    assert state.prompt.key == "1.triceps_mm"
    assert parse_line(state, "60").asks_back
    taken = parse_line(state, "60+")
    assert taken.event == "answer"
    assert (taken.body or {})["value"] == {"value": 60.0, "typed": "60+", "at_least": True}


def test_where_the_side_changes_in_between_the_larger_or_else_the_later_group_counts() -> None:
    """Readings of two sides are never averaged; those that do not count stay in the record."""
    right = {"1.triceps_mm": {"value": 20.4, "typed": "20.4"}}
    left = {"2.triceps_mm": {"value": 22.6, "typed": "22.6", "side": "left"}}
    later = visit_tree(answered(**right, **left))
    assert later["skinfolds_mm"] == {"triceps": [22.6]}
    assert later["how_taken"]["left_side"] == ["triceps"]
    again = {"3.triceps_mm": {"value": 20.8, "typed": "20.8"}}
    larger = visit_tree(answered(**right, **left, **again))
    assert larger["skinfolds_mm"] == {"triceps": [20.4, 20.8]}
    assert "left_side" not in larger["how_taken"]


@pytest.mark.parametrize(("third", "expected"), [("24.4", False), ("24.6", True)])
def test_three_readings_are_unsteady_beyond_twice_what_the_rule_allows(
    third: str, expected: bool
) -> None:
    """Under the 2 mm rule (common practice, no source) three readings may spread over 4 mm (ours)."""
    typed = {"1.triceps_mm": "20.5", "2.triceps_mm": "23", "3.triceps_mm": third}
    readings = {key: {"value": float(text), "typed": text} for key, text in typed.items()}
    assert is_unsteady(answered(**readings).known, "triceps_mm") is expected
