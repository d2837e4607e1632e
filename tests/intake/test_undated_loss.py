"""An earlier weight of which nobody noted when it was, or whether losing was wanted: kept, and flagged.

A visit file, a table and a session read it alike. A loss in a time that nobody noted may have been fast:
it counts wherever a rule does not say how fast it was (ours).
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest

import foldspan
from foldspan.results.flag_grounds import weight_changed
from foldspan.session.parse_input import parse_line
from foldspan.session.state import State
from foldspan.session.to_visit import visit_tree
from foldspan.text.self_reported import weight_words
from measure_driver import MAN, script_of
from tables.test_table_intake import (
    Lines,
    answer_of,
    assert_same,
    codes_of,
    row_of,
    split,
    visit_of,
)

UNDATED = {"earlier_weight_kg": 80.125}
CASES: list[tuple[Lines, Lines]] = [
    (client, {"earlier_weight_kg": kg} | more)
    for client in ({}, {"age_years": 17.9}, {"pregnant": True}, {"sex": "male", "age_years": 72.0})
    for kg in (80.125, 76.0, 72.0, 66.5)
    for more in ({}, {"loss_wanted": True}, {"loss_wanted": False}, {"eating_concern": True})
]


@pytest.fixture(scope="module")
def at_once() -> pd.DataFrame:
    return answer_of(*(row_of(intake, client) for client, intake in CASES))


@pytest.mark.parametrize("place", range(len(CASES)))
def test_a_weight_without_its_time_says_the_same_in_a_table_and_in_a_visit(
    place: int, at_once: pd.DataFrame
) -> None:
    client, intake = CASES[place]
    assert_same(at_once.iloc[place], visit_of(intake, client))
    assert "earlier_weight" not in at_once["problems"][place]


@pytest.mark.parametrize("wanted", [{}, {"loss_wanted": False}])
def test_what_is_said_of_it_is_true(wanted: Lines) -> None:
    visit = visit_of(UNDATED | wanted)
    (changed,) = weight_changed(visit)
    words = changed.text
    assert "10.9% less" in words
    assert "time that was not recorded" in words
    assert ("not intended" in words) == bool(wanted)
    (flag,) = foldspan.health(visit).flags
    assert (flag.level, flag.code == "loss_unplanned") == ("refer_soon", bool(wanted))
    for text in (flag.text, flag.for_client):
        assert not any(word in text for word in ("short time", "quickly", "month"))


@pytest.mark.parametrize("months", ["soon", np.inf, 0, -2, 601])
def test_a_time_that_cannot_be_read_is_marked_and_the_loss_counts_as_undated(
    months: object,
) -> None:
    """A fault must not take from sight what is seen where the cell is empty."""
    wrong = UNDATED | {"earlier_weight_months_ago": months}
    answer = answer_of(row_of(wrong), row_of(UNDATED))
    with pytest.raises(foldspan.FoldspanError) as caught:
        visit_of(wrong)
    assert set(codes_of(answer["problems"][0])) == {
        problem.code for problem in caught.value.problems
    }
    assert split(answer["flags"][0]) == split(answer["flags"][1]) == ["loss_large_undated"]
    assert np.isfinite(answer["fat_percent"][0])


def session_with(typed: dict[str, Any]) -> dict[str, Any]:
    """The visit tree of a session in which a man told an earlier weight."""
    state = State().after("begun", {"units": "metric", "tester": "T-02"})
    for prompt in script_of(MAN | {"earlier_weight_kg": "90"} | typed, {"tester": "T-02"}):
        parsed = parse_line(state, prompt.line)
        assert parsed.event, (prompt, parsed.problem)
        state = state.after(parsed.event, parsed.body or {})
    assert state.prompt.kind == "done"
    return visit_tree(state)


@pytest.mark.parametrize("months", ["", "none", "6"])
@pytest.mark.parametrize("wanted", ["", "y", "n"])
def test_a_session_takes_enter_at_both_and_its_visit_reconciles(months: str, wanted: str) -> None:
    tree = session_with({"earlier_weight_months_ago": months, "loss_wanted": wanted})
    assert tree["intake"].get("earlier_weight_months_ago") == (6.0 if months == "6" else None)
    assert tree["intake"].get("loss_wanted") == {"": None, "y": True, "n": False}[wanted]
    visit = foldspan.Visit.from_dict(tree, accept_unusual=True)
    codes = {flag.code for flag in foldspan.reconcile(visit).flags}
    expected = {
        ("", ""): "loss_large_undated", ("", "n"): "loss_unplanned", ("6", "n"): "loss_fast",
        ("6", ""): "loss_large_not_asked",
    }  # fmt: skip
    known = "6" if months == "6" else ""
    assert codes == ({expected[known, wanted]} if wanted != "y" else set())
    assert ("not recorded" in weight_words(visit)) == (months != "6" or not wanted)


def test_the_time_is_asked_right_after_the_weight() -> None:
    answers = MAN | {
        "earlier_weight_kg": "92",
        "family_background": "white",
        "surgery_months_ago": "1",
    }
    keys = [typed.key for typed in script_of(answers)]
    for first, second in (
        ("earlier_weight_kg", "earlier_weight_months_ago"),
        ("surgery_months_ago", "operated"),
    ):
        assert keys.index(second) == keys.index(first) + 1
