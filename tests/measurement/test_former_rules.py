"""What was kept while all girths went by 1 cm and folds by 2 mm is judged so for good."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from foldspan import Visit
from foldspan.cli.measure import RULES
from foldspan.measurement.accepted_values import accept, accept_column
from foldspan.protocol.repeat_rules import RULE_BY_KEY, USUAL
from foldspan.quantities import MEASURED
from foldspan.records.book import Book
from foldspan.records.visits import kept_visit, take_in, visit_of
from foldspan.session.state import State, replayed
from foldspan.session.to_visit import visit_tree
from measure_driver import FACTS, script_of

# 41 and 38.5 mm differ by more than 2 mm and by less than a tenth; 38.5 and 39.3 cm by more than half a
# centimetre and by less than one.
GIVEN = {
    "plan": "tape three", "1.thigh_mm": "41", "2.thigh_mm": "38.5", "1.neck_cm": "38.5",
    "2.neck_cm": "39.3",
}  # fmt: skip
FORMER = {key: fact for key, fact in FACTS.items() if key != "girth_rule"} | {"repeat_rule": "2mm"}


def played(facts: dict[str, Any]) -> State:
    """A session of the invented man, typed under these facts."""
    from foldspan.session.parse_input import parse_line
    from measure_driver import MAN

    state, asked_back = State().after("begun", facts), ""
    for prompt in script_of(MAN | GIVEN, facts):
        parsed = parse_line(state, prompt.line, asked_back=asked_back)
        asked_back = prompt.line if parsed.asks_back else ""
        if parsed.event:
            state = state.after(parsed.event, parsed.body or {})
    return state


def thirds(state: State) -> set[str]:
    return {key[2:] for key in state.known.answers if key.startswith("3.")}


@pytest.mark.parametrize("named", [True, False])
def test_an_old_session_asks_and_answers_as_it_did(named: bool) -> None:
    """Events without a named rule go by the old one too."""
    facts = FORMER if named else {k: v for k, v in FORMER.items() if k != "repeat_rule"}
    old = State().after("begun", facts)
    for kind, body in played(FACTS | FORMER | {"girth_rule": ""}).events():
        if kind != "begun":
            old = old.after(kind, body)
    assert thirds(old) == {"thigh_mm"}
    assert replayed(old.events()).prompt.kind == "done"
    assert visit_tree(old)["how_taken"] == {"repeat_rule": "2mm", "girth_rule": "1cm"}


def test_a_new_session_goes_by_the_fold_and_by_the_site() -> None:
    new = played(FACTS)
    assert thirds(new) == {"neck_cm"}
    assert "how_taken" not in visit_tree(new)


TREE: dict[str, Any] = {
    "client": {"code": "K-051", "sex": "male", "age_years": 34},
    "mass_height": {"weight_kg": 80.4, "height_cm": 179.5},
    "skinfolds_mm": {"thigh": [44.0, 38.0, 45.5]},
    "girths_cm": {"neck": [38.5, 39.8, 39.6]},
}


def test_a_visit_imported_before_is_judged_as_it_was(tmp_path: Path) -> None:
    with Book.opened(str(tmp_path / "book.sqlite")) as book:
        old = book.begin("K-051")
        book.append(old, "imported", {"tree": TREE}, place=1)
        kept = kept_visit(book, old, "K-051")
        sites = visit_of(kept.tree, where="old").accepted
        assert (sites["thigh_mm"].is_unsteady, sites["neck_cm"].is_unsteady) == (True, False)
        with pytest.raises(Exception, match="E122"):
            take_in(book, "K-051", TREE, "again.toml")
        fresh = take_in(book, "K-051", {**TREE, "visit": {"tester": "T-02"}}, "new.toml")
        sites = visit_of(kept_visit(book, fresh, "K-051").tree, where="new").accepted
        assert (sites["thigh_mm"].is_unsteady, sites["neck_cm"].is_unsteady) == (False, True)


@pytest.mark.parametrize("name", MEASURED)
def test_a_row_and_its_visit_get_the_same_bits(name: str) -> None:
    """Three readings on both sides of twice the tolerance, at three sizes."""
    for middle in (4.3, 17.0, 61.7):
        for apart in (0.07, 0.9, 1.7, 2.3, 4.9, 13.0):
            readings = [middle, middle + apart, middle + 0.4 * apart]
            accepted = accept(name, readings)
            columns = [np.array([reading, 1.0]) for reading in readings]
            many = accept_column(name, columns, np.zeros(2, dtype=bool))
            assert (accepted.value, accepted.se) == (many.value[0], many.se[0])


def test_the_command_offers_every_rule_the_usual_one_first() -> None:
    assert tuple(RULE_BY_KEY) == RULES
    assert RULES[0] == USUAL["repeat_rule"]


def test_a_visit_file_names_its_rules() -> None:
    read = Visit.from_dict({**TREE, "how_taken": {"girth_rule": "1cm"}})
    assert not read.accepted["neck_cm"].is_unsteady
    assert read.how_taken.repeat_rule == "growing"
