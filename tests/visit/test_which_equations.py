"""Which equations fit, never gender: both answers side by side, and family background in any words."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

import foldspan
from foldspan import Visit
from foldspan.cli.printed.change import page
from foldspan.standards import STANDARD_BY_KEY
from foldspan.standards.backgrounds import BACKGROUNDS
from intake_visits import problems_of, tree_of

Lines = dict[str, Any]
Run = Callable[..., tuple[int, str, str]]


def test_what_rarely_goes_with_the_equations_for_men_counts_as_told() -> None:
    """Which equations fit is no question of gender: it is read, said, and a range held back by it."""
    for lines, client, section, refused in (
        ({"birth_months_ago": 3.25}, {}, "intake", "E204"),
        ({"birth_months_ago": 400.5}, {}, "intake", ""),
        ({"periods_stopped": True}, {}, "intake", ""),
        ({}, {"pregnant": True}, "client", "E202"),
    ):
        visit = Visit.from_dict(tree_of(lines, {"sex": "male"} | client))
        (warning,) = visit.warnings
        assert warning.code == "W127"
        assert warning.where.startswith(f"visit: [{section}]")
        assert visit.doubts == ()
        result = foldspan.reconcile(visit)
        assert [problem.code for problem in result.problems] == ([refused] if refused else [])
        assert result.has_range is not bool(refused)
        assert "unusual_value" not in [finding.code for finding in result.findings]
        if "periods_stopped" in lines:
            assert "periods_stopped" in [flag.code for flag in result.flags]


@pytest.mark.parametrize("given", [0.5, True, 7.125, ["white"], {"white": 1}, "x" * 41], ids=str)
def test_a_family_background_is_a_short_text(given: object) -> None:
    (problem,) = problems_of(tree_of({}, {"family_background": given}))
    assert (problem.code, problem.where) == ("E121", "K-063.toml: [client] family_background")


@pytest.mark.parametrize(
    ("given", "word", "is_used"),
    [
        ("martian", "", False), ("Black", "", False), ("", "", True), ("other", "other", True),
        ("South Asian", "south_asian", True), ("south_asian", "south_asian", True),
        ("Punjabi", "south_asian", True), ("Chinese and Welsh", "chinese", False),
        ("white and South Asian", "south_asian", False),
        ("African-Caribbean", "african_caribbean", True),
        ("African American", "african_american", True), ("Other Asian", "other_asian", True),
        ("Japanese background", "japanese", True), ("whitehaven", "", False), ("not Asian", "", False),
    ],
)  # fmt: skip
def test_family_background_in_any_words(given: str, word: str, is_used: bool) -> None:
    """What is known is used, the rest is kept as written, and it is said that it is not used."""
    visit = Visit.from_dict(tree_of({}, {"family_background": given}))
    assert visit.client.family_background == given
    assert visit.client.background == word
    assert [warning.code for warning in visit.warnings] == ([] if is_used else ["W126"])


def test_a_no_to_what_is_asked_of_women_is_no_surprise_in_a_man() -> None:
    tree = tree_of({"periods_stopped": False}, {"sex": "male", "pregnant": False})
    assert Visit.from_dict(tree).warnings == ()
    assert Visit.from_dict(tree_of({"birth_months_ago": "none"}, {"sex": "male"})).warnings == ()


def test_every_listed_background_is_read_as_itself() -> None:
    for word in BACKGROUNDS:
        for written in (word, word.replace("_", " ").upper()):
            visit = Visit.from_dict(tree_of({}, {"family_background": written}))
            assert (visit.client.background, visit.warnings) == (word, ())


def test_both_sexes_side_by_side() -> None:
    """Two answers, each that of its sex to the last bit; no single range, and no limit by sex."""
    trees = {
        sex: tree_of({"symptoms": ["chest_pain"]}, {"sex": sex})
        for sex in ("both", "female", "male")
    }
    results = {sex: foldspan.reconcile(Visit.from_dict(tree)) for sex, tree in trees.items()}
    both = results.pop("both")
    assert not both.has_range
    assert [problem.code for problem in both.problems] == ["E207"]
    assert {sex: result.to_dict() for sex, result in both.by_sex} == {
        sex: result.to_dict() for sex, result in results.items()
    }
    assert set(both.to_dict()["by_sex"]) == {"female", "male"}
    assert {STANDARD_BY_KEY[band.standard].sex for band in both.bands} == {"both"}
    assert [flag.code for flag in both.flags] == ["heart_signs"]
    for client in ({"pregnant": True}, {"age_years": 17}):
        held = foldspan.reconcile(Visit.from_dict(tree_of({}, {"sex": "both"} | client)))
        assert held.by_sex == ()
        assert not held.has_range


def test_other_words_for_sex_are_told_what_the_question_is() -> None:
    for given in ("intersex", "non-binary", "trans man", "x"):
        (problem,) = problems_of(tree_of({}, {"sex": given}))
        assert (problem.code, problem.where) == ("E113", "K-063.toml: [client] sex")
        assert "not about gender" in problem.remedy
        assert '"both"' in problem.remedy


@pytest.mark.parametrize(
    ("cells", "problems"),
    [
        ({"sex": "male", "birth_months_ago": 3}, {"E204", "W127 birth_months_ago"}),
        ({"sex": "male", "pregnant": "yes"}, {"E202", "W127 pregnant"}),
        ({"sex": "male", "periods_stopped": "yes"}, {"W127 periods_stopped"}),
        ({"family_background": "martian"}, {"W126 family_background"}),
        ({"family_background": "Punjabi"}, set()),
    ],
)  # fmt: skip
def test_what_is_unusual_counts_as_told_as_in_a_visit_file(
    cells: dict[str, Any], problems: set[str]
) -> None:
    row = {"sex": "female", "age_years": 41, "weight_kg": 71.3, "height_cm": 168.2} | cells
    line = foldspan.reconcile_table(pd.DataFrame([row])).iloc[0]
    assert set(line["problems"].split("; ")) - {""} == problems
    assert np.isfinite(line["fat_percent"]) == (
        not any(problem.startswith("E") for problem in problems)
    )
    assert ("periods_stopped" in line["flags"]) is ("periods_stopped" in cells)


def two_trees(sex: str) -> list[Lines]:
    """A client who lost fat between March and June, read with the equations of ``sex``."""
    return [
        {
            "client": {"code": "K-063", "sex": sex, "age_years": 41},
            "visit": {"date": day, "tester": "T-02", "calliper": "C-1"},
            "mass_height": {"weight_kg": weight, "height_cm": 168.2},
            "skinfolds_mm": {"triceps": triceps, "biceps": 12.0},
            "girths_cm": {"waist_midpoint": waist},
        }
        for day, weight, triceps, waist in (
            ("2026-03-04", 84.0, 26.0, 92.0), ("2026-06-04", 76.0, 18.0, 81.0)
        )
    ]  # fmt: skip


def two_visits(sex: str) -> list[Visit]:
    return list(map(Visit.from_dict, two_trees(sex)))


def test_a_change_is_judged_where_it_is_left_open_which_equations_fit() -> None:
    """Before, E207: though the pages for such clients advise to go by changes over time."""
    answers = {
        sex: foldspan.change(*two_visits(sex)).to_dict() for sex in ("both", "female", "male")
    }
    both = answers.pop("both")
    for sex, alone in answers.items():
        beside = both["by_sex"][sex]
        assert {key: value for key, value in beside.items() if key != "flags"} == {
            key: value for key, value in alone.items() if key != "flags"
        }
        assert alone["fat_percent"]["is_real"]
        # what needs no equation is the same whichever fit
        for key in ("weight_kg", "sum_of_folds_mm", "girths_cm", "weeks"):
            assert both[key] == alone[key]
    assert (both["fat_percent"], both["fat_mass_kg"], both["trend"]) == (None, None, None)
    assert both["flags"]  # 8 of 84 kg in three months: judged once
    assert both["weight_kg"]["is_real"]


def test_a_pregnancy_withholds_the_change_whichever_equations_fit() -> None:
    before, after = two_visits("both")
    expecting = after.model_copy(
        update={"client": after.client.model_copy(update={"pregnant": True})}
    )
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.change(before, expecting)
    assert "E202" in [problem.code for problem in caught.value.problems]


def test_both_changes_stand_side_by_side_on_the_page() -> None:
    three = [*two_visits("both"), two_visits("both")[-1]]
    for visits in (three[:2], three):
        change = foldspan.change(*visits)
        texts = page(change, "metric")
        words = " ".join(texts.split())
        for sex, name in (("female", "women"), ("male", "men")):
            alone = foldspan.change(*(visit.for_sex(sex) for visit in visits)).change.percent
            assert alone is not None
            assert f"{alone.earlier:.1f}% -> {alone.later:.1f}%" in texts
            assert f"Equations for {name}" in texts
        assert words.count("Weight, skinfolds and girths need no equation") == 1
        assert words.count("alone would make any of them look real") == (len(visits) == 3)
        in_weeks = "Measure the same sites again in 8 weeks" in words
        assert in_weeks != change.measure_all_again


def test_the_trend_of_such_a_client_is_in_the_book(run: Run, tmp_path: Path) -> None:
    book = tmp_path / "book.sqlite"
    for n, tree in enumerate(two_trees("both")):
        place = tmp_path / f"{n}.json"
        place.write_text(json.dumps(tree))
        assert run("records", "import", str(place), "--book", str(book))[0] == 0
    text = " ".join(run("records", "show", "K-063", "--book", str(book))[1].split())
    assert text.count("% (women)") == text.count("% (men)") == 2
    assert "Equations for men: Body fat" in text
    code, text, _ = run("change", "K-063", "--book", str(book))
    assert code == 0
    assert "Equations for women" in text
