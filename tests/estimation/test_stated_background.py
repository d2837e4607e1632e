"""A background that the client states: it moves the answer by what the survey says, and only then."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

import foldspan
from estimation.test_known_offsets import rows_of
from foldspan.catalogue import EQUATIONS
from foldspan.estimation.on_request import ON_REQUEST
from foldspan.estimation.settings import settings_for
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.decomposition import pair
from foldspan.protocol.plans import PLAN_BY_KEY
from foldspan.quantities import ANCESTRIES, SEXES, Sex
from foldspan.reference.background_offsets import SHIFTS
from foldspan.reference.equation_errors import SURVEY_ERRORS
from foldspan.results.case_of_visit import case_of
from foldspan.results.result import Result
from foldspan.screening.row_visit import facts_of_row
from foldspan.session.answers import Known
from foldspan.session.questions import script
from foldspan.standards.backgrounds import BACKGROUNDS, ancestry_of
from foldspan.tables.answers import answer_rows
from foldspan.tables.pandas_input import cells_of, check_columns
from foldspan.tables.value_words import meanings
from foldspan.text.explain import known_bias_sentence
from session.test_consent_walk import BASE

Run = Callable[..., tuple[int, str, str]]
Tree = dict[str, Any]
KEPT = {"black"}


def tree(sex: Sex = "female", weight: float = 71.3, **client: Any) -> Tree:
    return {
        "client": {"sex": sex, "age_years": 41, **client},
        "mass_height": {"weight_kg": weight, "height_cm": 168.2},
        "skinfolds_mm": {"triceps": [21.0, 21.5], "subscapular": [18.0, 18.5]},
        "girths_cm": {"waist_midpoint": [82.4, 82.9]},
    }


def result_of(made: Tree, **options: Any) -> Result:
    return foldspan.reconcile(foldspan.Visit.from_dict(made), **options)


def numbers(result: Result) -> Mapping[str, Any]:
    """All that is counted, without words."""
    found = result.to_dict()
    return {key: found[key] for key in ("fat_percent", "misfit", "methods", "equations", "budget")}


# by what the survey says --------------------------------------------------------------------------


@pytest.mark.parametrize("sex", SEXES)
def test_each_equation_moves_by_what_the_survey_says(sex: Sex) -> None:
    """As printed, moved, levelled and the background make the estimate of every equation."""
    plain = {equation.key: equation for equation in result_of(tree(sex)).equations}
    stated = result_of(tree(sex, ancestry="black")).equations
    known = SHIFTS["black"]
    moved = 0
    for equation in stated:
        if (
            equation.estimate is None
            or equation.as_printed is None
            or ON_REQUEST in equation.left_out_because
        ):
            continue
        points = known[equation.key][sex].points if sex in known.get(equation.key, {}) else 0.0
        assert equation.for_background == pytest.approx(-points, abs=1e-12), equation.key
        card = next(card for card in EQUATIONS if card.key == equation.key)
        if card.table is None:
            steps = (
                equation.as_printed + equation.moved + equation.levelled + equation.for_background
            )
            assert equation.estimate == pytest.approx(steps, abs=1e-9)
        assert equation.levelled == pytest.approx(plain[equation.key].levelled, abs=1e-12)
        moved += points != 0.0
    assert moved > 10


def test_only_what_is_levelled_is_known_by_background() -> None:
    """Learnt for the same equations and sexes as the curves by age; those of Black adults alone."""
    assert set(SHIFTS) == KEPT
    for by_key in SHIFTS.values():
        assert {key: set(shifts) for key, shifts in by_key.items()} == {
            key: set(by_sex) for key, by_sex in SURVEY_ERRORS.items() if key in by_key
        }
        assert all(shift.se > 0.0 for shifts in by_key.values() for shift in shifts.values())


@pytest.mark.parametrize("sex", SEXES)
def test_the_range_moves_down_and_says_why(sex: Sex) -> None:
    plain, stated = result_of(tree(sex)), result_of(tree(sex, ancestry="black"))
    assert plain.fat_percent is not None
    assert stated.fat_percent is not None
    assert 0.2 < plain.fat_percent.estimate - stated.fat_percent.estimate < 3.0
    said = [finding for finding in stated.findings if finding.code == "background"]
    assert len(said) == 1
    assert said[0].points is not None
    assert (
        f"these methods were on average {said[0].points:.1f} percentage points too high"
        in said[0].text
    )
    assert not [finding for finding in plain.findings if finding.code == "background"]


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("options", [{}, {"reference_method": "density"}, {"as_printed": True}])
def test_the_budget_adds_up(sex: Sex, options: Mapping[str, Any]) -> None:
    for word in ("", *ANCESTRIES):
        result = result_of(tree(sex, ancestry=word), **options)
        assert result.fat_percent is not None
        assert sum(result.budget.values()) == pytest.approx(result.fat_percent.se**2, rel=1e-12)


def test_what_is_not_certain_of_it_is_part_of_the_error() -> None:
    """Each equation's own error grows by that of what is taken off, in quadrature [points]."""
    made = [tree(), tree(ancestry="black")]
    plain, stated = (
        {equation.key: equation for equation in result_of(each).equations} for each in made
    )
    for key, by_sex in SHIFTS["black"].items():
        if "female" not in by_sex or "ancestry" in key or plain[key].se is None:
            continue
        before, after = plain[key].se, stated[key].se
        assert before is not None
        if after is not None and not set(plain[key].remarks) - set(stated[key].remarks):
            grown = after**2 - before**2
            # a term for ancestry that is left unstated costs a point; once stated it does not
            assert grown == pytest.approx(by_sex["female"].se ** 2, abs=1e-9) or grown < -0.9


# only then ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("client", "options"),
    [
        ({}, {}),
        *(({"ancestry": word}, {}) for word in ANCESTRIES if word not in KEPT),
        ({"ancestry": "black"}, {"reference_method": "density"}),
        ({"ancestry": "black"}, {"as_printed": True}),
        ({"ancestry": "black", "athlete": True}, {}),
    ],
)
def test_nothing_is_taken_off_where_the_survey_says_nothing(client: Tree, options: Tree) -> None:
    result = result_of(tree(**client), **options)
    assert all(each.for_background == 0.0 for each in result.equations)
    assert not [each for each in result.findings if each.code == "background"]


@pytest.mark.parametrize("sex", SEXES)
def test_a_family_background_says_black_or_nothing_to_the_equations(sex: Sex) -> None:
    """Limits of health may go by any; the range goes by the same as ``ancestry = "black"``."""
    plain = numbers(result_of(tree(sex)))
    stated = numbers(result_of(tree(sex, ancestry="black")))
    for word in (
        "black_african",
        "african_caribbean",
        "african_american",
        "Black",
        "Black British",
    ):
        assert numbers(result_of(tree(sex, family_background=word))) == stated
    for word in set(BACKGROUNDS) - {"black_african", "african_caribbean", "african_american"}:
        assert numbers(result_of(tree(sex, family_background=word))) == plain
    both = result_of(tree(sex, family_background="african_american", ancestry="white"))
    assert numbers(both) == numbers(result_of(tree(sex, ancestry="white")))


@pytest.mark.parametrize(
    "words",
    ["", "none", "not Black", "half Black", "Black and white", "Black, South Asian", "Blackfoot",
     "white", "prefer not to say", "Black Forest"],
)  # fmt: skip
def test_what_does_not_say_so_says_nothing(words: str) -> None:
    assert ancestry_of(words, "") == ""


def test_a_table_says_the_same_as_visits() -> None:
    """Also in one table with people who state nothing, or something else."""
    clients: list[Tree] = [
        {}, {"ancestry": "black"}, {"family_background": "Black African"},
        {"family_background": "south_asian"}, {"ancestry": "white", "family_background": "Black"},
    ]  # fmt: skip
    rows = [
        {"sex": sex, "age_years": 41, "weight_kg": 71.3, "height_cm": 168.2, "triceps_mm_1": 21.0,
         "triceps_mm_2": 21.5, "subscapular_mm_1": 18.0, "subscapular_mm_2": 18.5,
         "waist_midpoint_cm_1": 82.4, "waist_midpoint_cm_2": 82.9,
         "ancestry": "", "family_background": ""} | line
        for sex in SEXES for line in clients
    ]  # fmt: skip
    answer = foldspan.reconcile_table(pd.DataFrame(rows))
    visits = [result_of(tree(sex, **line)).fat_percent for sex in SEXES for line in clients]
    ours = [fat.estimate for fat in visits if fat is not None]
    assert answer.fat_percent.tolist() == pytest.approx(ours, abs=1e-12)
    assert len(set(np.round(ours, 6).tolist())) < len(ours)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("name", ["weight_kg", "age_years"])
def test_no_jumps(sex: Sex, name: str) -> None:
    """What is taken off fades out with the survey: no step of the range above 0.1 point."""
    steps = np.arange(40.0, 160.0, 0.05) if name == "weight_kg" else np.arange(18.0, 115.0, 0.05)
    fixed = {"weight_kg": 71.3, "age_years": 41.0, "height_cm": 168.2, "waist_midpoint_cm": 82.6}
    frame = pd.DataFrame({"sex": sex, **fixed, name: steps, "ancestry": "black"})
    frame["waist_midpoint_cm"] *= (frame["weight_kg"] / 71.3) ** 0.7  # as in bodies of that weight
    answer = foldspan.reconcile_table(frame)
    plain = foldspan.reconcile_table(frame.assign(ancestry=""))
    apart = answer.fat_percent - plain.fat_percent
    assert apart.min() < -0.2
    for column in ("fat_percent", "range_95_low", "range_95_high"):
        for values in (answer[column], answer[column] - plain[column]):
            assert np.nanmax(np.abs(np.diff(values.to_numpy()))) < 0.1


def test_stated_at_one_visit_only_is_no_change_of_the_body() -> None:
    """One body at two visits, and a client who says more the second time."""
    for answers in (({}, {"ancestry": "black"}), ({"family_background": "Black"}, {})):
        earlier, later = (
            foldspan.Visit.from_dict(tree(**client) | {"visit": {"date": day}})
            for client, day in zip(answers, ("2026-01-05", "2026-03-05"), strict=True)
        )
        found = foldspan.change(earlier, later)
        assert found.change.percent is not None
        assert found.change.percent.amount == pytest.approx(0.0, abs=1e-12)
        assert "equations_differ" not in found.change.breaks


# where it is shown and asked ----------------------------------------------------------------------


def test_json_and_all_show_it(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "visit.json"
    path.write_text(json.dumps(tree(ancestry="black")), encoding="utf-8")
    text = run("reconcile", str(path), "--all")[1]
    assert "Family background as stated: in the US survey" in " ".join(text.split())
    rows = rows_of(text)
    listed = json.loads(run("reconcile", str(path), "--json")[1])["equations"]
    shown = [
        equation
        for equation in listed
        if equation["used"] and abs(equation["for_background"]) >= 0.05
    ]
    assert len(shown) > 3
    for line in shown:
        assert f"; background {line['for_background']:+.1f}" in rows[line["key"]]
    path.write_text(json.dumps(tree()), encoding="utf-8")
    assert not any(
        "; background " in row for row in rows_of(run("reconcile", str(path), "--all")[1])
    )


def asks_for_it(given: Mapping[str, Any]) -> bool:
    """Whether a session ever asks, told everything else."""
    answers = {key: line for key, line in given.items() if key != "family_background"}
    prompts = [prompt.key for prompt in script(Known(answers, (), {}))]
    return "family_background" in prompts or (
        "page.more" in prompts
        and "family_background"
        in [prompt.key for prompt in script(Known({**answers, "page.more": "each"}, (), {}))]
    )


@pytest.mark.parametrize("sex", SEXES)
def test_a_session_asks_only_where_something_hangs_on_it(sex: Sex) -> None:
    """In every plan the range does; nobody gets one under 18 or pregnant, and there it is not asked."""
    answers = BASE | {"sex": sex}
    for plan in PLAN_BY_KEY:
        assert asks_for_it(answers | {"plan": [plan]})
    assert not asks_for_it(answers | {"age_years": 15.0, "guardian": True, "go_on.E201": True})
    if sex == "female":
        assert not asks_for_it(answers | {"pregnant": True, "go_on.E202": True})
    sites = {"weight_kg", "height_cm"}
    assert all(sites <= set(plan.sites(sex)) for plan in PLAN_BY_KEY.values())
    bare = {key: tree(sex)[key] for key in ("client", "mass_height")}
    stated = bare | {"client": bare["client"] | {"family_background": "african_american"}}
    assert numbers(result_of(bare)) != numbers(result_of(stated))


def test_the_question_says_what_it_is_for() -> None:
    from foldspan.text.catalogue import ENGLISH
    from foldspan.text.measure import BACKGROUND_HELP

    assert "the range differs for Black adults" in ENGLISH.sentences["ask.family_background"]
    assert "Any other background, or none, leaves the range unchanged" in BACKGROUND_HELP


@pytest.mark.parametrize("client", [{}, {"ancestry": "black"}, {"family_background": "Black"}])
def test_explain_says_where_a_background_is_part_of_it(client: Tree) -> None:
    analysis = CaseAnalysis(
        case_of(foldspan.Visit.from_dict(tree(**client)), settings_for("dxa", "siri1961"))
    )
    gap = pair(analysis, "mass_height", "skinfold")
    said = known_bias_sentence(replace(gap, reads_off=(2.0, 0.0)))
    assert ("for the stated background" in said) == bool(client)
    assert sum(reason.points for reason in gap.reasons) + gap.unexplained == pytest.approx(
        gap.difference, abs=1e-9
    )


def test_a_letter_of_a_row_stands_on_the_range_of_the_row() -> None:
    """A row becomes a visit again for its letter; what it stated must not be lost on the way."""
    row = {"sex": "female", "age_years": 41, "weight_kg": 71.3, "height_cm": 168.2}
    frame = pd.DataFrame([row | {"family_background": words} for words in ("Black", "")])
    answers = answer_rows(
        cells_of(frame, check_columns(frame), meanings({})), settings_for("dxa", "siri1961")
    )
    visits = [foldspan.Visit.from_row(facts_of_row(answers, {}, row)) for row in range(2)]
    assert [bool(visit.client.ancestry) for visit in visits] == [True, False]
    table = foldspan.reconcile_table(frame).fat_percent.tolist()
    ranges = [foldspan.reconcile(visit, reference_method="dxa").fat_percent for visit in visits]
    assert [interval.estimate for interval in ranges if interval is not None] == pytest.approx(
        table, abs=1e-12
    )
