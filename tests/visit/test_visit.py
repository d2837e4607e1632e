"""Visit: the file of the contract, its twins, and every fault that a file can hold."""

from __future__ import annotations

import json
import math
import tomllib
from collections.abc import Mapping
from datetime import date, datetime
from pathlib import Path
from typing import Any

import pytest
from pydantic import ValidationError

from foldspan import FoldspanError, Problem, Visit, reconcile
from foldspan.problems import CODES

# The visit file of the contract, letter by letter.
CONTRACT_FILE = """[client]
code = "K-014"                # a name is never required
sex = "female"
age_years = 41                # or birth_date with [visit].date
[visit]
date = 2026-03-04
tester = "T-02"
[mass_height]
weight_kg = 71.3
height_cm = 168.2
[skinfolds_mm]                # one to three readings a site, in the order taken
triceps = [21.0, 21.5]
suprailiac_anterior = [18.0, 21.0, 18.5]
[girths_cm]
waist_midpoint = [82.4, 82.9]
neck = 33.1
"""
POUND = 0.45359237
GONE = object()


def visit_tree() -> dict[str, Any]:
    """A visit without fault, with numbers that no message would hold by chance."""
    return {
        "client": {"code": "K-057", "sex": "female", "age_years": 41.375},
        "visit": {"date": date(2025, 11, 17), "tester": "T-09"},
        "mass_height": {"weight_kg": 71.362, "height_cm": 168.274},
        "skinfolds_mm": {"triceps": [21.137, 21.583], "calf": 19.418},
        "girths_cm": {"waist_midpoint": [82.437, 82.918], "neck": 33.146},
    }


def patched(*changes: tuple[str, str, object]) -> dict[str, Any]:
    """The visit with lines changed, added or, for GONE, taken out; name "" is the whole section."""
    tree = visit_tree()
    for section, name, value in changes:
        if not name:
            tree[section] = value
        elif value is GONE:
            del tree[section][name]
        else:
            tree.setdefault(section, {})[name] = value
    return tree


def problems_of(tree: Mapping[str, Any]) -> tuple[Problem, ...]:
    with pytest.raises(FoldspanError) as caught:
        Visit.from_dict(tree, where="K-057.toml")
    shown = f"{caught.value!s} {caught.value!r} {caught.value.problems!r}"
    assert not [value for value in personal_values(tree) if value in shown]
    return caught.value.problems


def personal_values(tree: object) -> list[str]:
    """Every value typed, as text; words that a remedy may name as a choice are left out."""
    if isinstance(tree, Mapping):
        return [text for value in tree.values() for text in personal_values(value)]
    if isinstance(tree, (list, tuple)):
        return [text for value in tree for text in personal_values(value)]
    if tree is None or isinstance(tree, bool) or tree in ("female", "male"):
        return []
    if isinstance(tree, float) and not math.isfinite(tree):
        return []
    text = str(tree)
    return [] if text == "K-057" else [word for word in (text, text[:6]) if len(word) > 3]


def test_the_file_of_the_contract(tmp_path: Path) -> None:
    path = tmp_path / "visit.toml"
    path.write_text(CONTRACT_FILE, encoding="utf-8")
    visit = Visit.from_file(str(path))
    client = visit.client
    assert (client.code, client.sex, client.age_years) == ("K-014", "female", 41.0)
    assert (client.ancestry, client.pregnant, client.athlete) == ("", False, False)
    assert (visit.day, visit.tester, visit.warnings) == (date(2026, 3, 4), "T-02", ())
    assert {name: site.readings for name, site in visit.sites.items()} == {
        "weight_kg": (71.3,),
        "height_cm": (168.2,),
        "triceps_mm": (21.0, 21.5),
        "suprailiac_anterior_mm": (18.0, 21.0, 18.5),
        "waist_midpoint_cm": (82.4, 82.9),
        "neck_cm": (33.1,),
    }
    # mean of two, median of three
    assert visit.accepted["triceps_mm"].value == pytest.approx(21.25)
    assert visit.accepted["suprailiac_anterior_mm"].value == pytest.approx(18.5)
    assert reconcile(visit).has_range


def test_the_json_twin_is_the_same_visit(tmp_path: Path) -> None:
    toml, twin = tmp_path / "visit.toml", tmp_path / "visit.json"
    toml.write_text(CONTRACT_FILE, encoding="utf-8")
    twin.write_text(json.dumps(tomllib.loads(CONTRACT_FILE), default=str), encoding="utf-8")
    assert Visit.from_file(str(twin)) == Visit.from_file(str(toml))
    assert Visit.from_dict(tomllib.loads(CONTRACT_FILE)) == Visit.from_file(str(toml))


def test_a_visit_is_frozen() -> None:
    visit = Visit.from_dict(visit_tree())
    with pytest.raises(ValidationError):
        visit.tester = "T-01"  # type: ignore[misc]


@pytest.mark.parametrize(
    ("section", "name", "text", "quantity", "value"),
    [
        ("mass_height", "weight_kg", "157 lb", "weight_kg", 157 * POUND),
        ("mass_height", "weight_kg", "11 st 3 lb", "weight_kg", 157 * POUND),
        ("mass_height", "height_cm", "5 ft 6 in", "height_cm", 66 * 2.54),
        ("mass_height", "height_cm", "1.682 m", "height_cm", 168.2),
        ("girths_cm", "waist_midpoint", "0.82 m", "waist_midpoint_cm", 82.0),
        ("girths_cm", "waist_midpoint", "32 1/2 in", "waist_midpoint_cm", 82.55),
        ("girths_cm", "waist_midpoint", ["0.82 m", 82.0], "waist_midpoint_cm", 82.0),
        ("skinfolds_mm", "triceps", "2.1 cm", "triceps_mm", 21.0),
        ("skinfolds_mm", "triceps", "21", "triceps_mm", 21.0),
        # a name may carry its unit or not, and a girth the word girth
        ("skinfolds_mm", "thigh_mm", 31.0, "thigh_mm", 31.0),
        ("girths_cm", "hip_cm", 102.0, "hip_cm", 102.0),
        ("girths_cm", "calf", 37.4, "calf_girth_cm", 37.4),
        ("girths_cm", "calf_girth_cm", 37.4, "calf_girth_cm", 37.4),
    ],
)
def test_texts_with_units_and_names(
    section: str, name: str, text: object, quantity: str, value: float
) -> None:
    visit = Visit.from_dict(patched((section, name, text)))
    assert visit.accepted[quantity].value == pytest.approx(value, abs=1e-9)


@pytest.mark.parametrize("age", ["41 years", "41", 41, 41.0])
def test_age_as_number_or_text(age: object) -> None:
    assert Visit.from_dict(patched(("client", "age_years", age))).client.age_years == 41.0


@pytest.mark.parametrize(
    ("born", "day", "completed"),
    [
        # counted on the calendar
        (date(1984, 7, 1), date(2026, 3, 4), 41),
        (date(1985, 3, 3), date(2026, 3, 4), 41),
        (date(1985, 3, 4), date(2026, 3, 4), 41),
        (date(1985, 3, 5), date(2026, 3, 4), 40),
        (date(2008, 3, 4), date(2026, 3, 4), 18),
        (date(2008, 3, 5), date(2026, 3, 4), 17),
        (date(2004, 2, 29), date(2026, 2, 28), 21),
        (date(2004, 2, 29), date(2026, 3, 1), 22),
    ],
)
@pytest.mark.parametrize("form", ["date", "text", "moment"])
def test_birth_date_and_day_give_the_age(born: date, day: date, completed: int, form: str) -> None:
    def typed(when: date) -> object:
        moment = datetime(when.year, when.month, when.day, 9, 30)
        return {"date": when, "text": str(when), "moment": moment}[form]

    tree = patched(("client", "age_years", GONE), ("visit", "date", typed(day)))
    tree["client"]["birth_date"] = typed(born)
    visit = Visit.from_dict(tree)
    assert visit.day == day
    assert math.floor(visit.client.age_years) == completed
    # a year has 365 or 366 days: the fraction may differ by a day or two
    assert visit.client.age_years == pytest.approx((day - born).days / 365.25, abs=0.01)


def test_age_and_birth_date_that_match_may_both_stand() -> None:
    visit = Visit.from_dict(patched(("client", "birth_date", date(1984, 7, 1))))
    assert 41.0 < visit.client.age_years < 42.0


Case = tuple[str, str, object, str, str, str]
# section, name, value as typed, code, place after "K-057.toml: ", words of the remedy
BAD_LINES: list[Case] = [
    ("client", "shoe_size", 39.257, "E115", "[client] shoe_size", "sex"),
    ("client", "birthdate", "1984-07-01", "E115", "[client] birthdate", "birth_date"),
    ("skinfolds_mm", "bicep", 9.137, "E115", "[skinfolds_mm] bicep", "biceps or triceps"),
    ("girths_cm", "waste_midpoint", 82.437, "E115", "[girths_cm] waste_midpoint", "waist_midpoint"),
    ("girths_cm", "waist", 82.437, "E114", "[girths_cm] waist", "iliac (just above the iliac"),
    ("mass_height", "weight", 71.362, "E115", "[mass_height] weight", "weight_kg"),
    ("skinfold_mm", "", {"triceps": 21.137}, "E115", "[skinfold_mm]", "skinfolds_mm"),
    ("site_variants", "calf", "third", "E115", "[site_variants] calf", "chest"),
    ("client", "sex", GONE, "E111", "[client] sex", "not about gender"),
    ("client", "sex", None, "E111", "[client] sex", "not about gender"),
    ("client", "sex", "woman", "E113", "[client] sex", "female or male"),
    ("client", "age_years", GONE, "E112", "[client] age_years", "birth_date"),
    ("client", "age_years", "forty-one", "E101", "[client] age_years", "years"),
    ("client", "age_years", 141.375, "E102", "[client] age_years", "again"),
    ("client", "age_years", 104.375, "E103", "[client] age_years", "--accept-unusual"),
    ("client", "ancestry", "martian", "E113", "[client] ancestry", "asian"),
    ("client", "ancestry", 0, "E113", "[client] ancestry", "asian"),
    ("client", "pregnant", "perhaps", "E113", "[client] pregnant", "true or false"),
    ("client", "athlete", 1.137, "E113", "[client] athlete", "true or false"),
    ("client", "code", ["K-0571", 7], "E121", "[client] code", ""),
    ("client", "", "K-0571", "E121", "[client]", "[client]"),
    ("skinfolds_mm", "", [21.137], "E121", "[skinfolds_mm]", "[skinfolds_mm]"),
    ("visit", "", None, "E121", "[visit]", "[visit]"),
    ("visit", "tester", {"name": "T-0917"}, "E121", "[visit] tester", ""),
    ("visit", "date", "17.11.2025", "E117", "[visit] date", "2026-03-04"),
    ("visit", "date", 20251117, "E117", "[visit] date", "2026-03-04"),
    ("visit", "date", date(2096, 5, 6), "E116", "[visit] date", "year"),
    ("client", "birth_date", date(2096, 5, 6), "E116", "[client] birth_date", "year"),
    ("client", "birth_date", "1984-13-01", "E117", "[client] birth_date", "2026-03-04"),
    ("client", "birth_date", date(2025, 12, 24), "E118", "[client] birth_date", "both"),
    ("client", "birth_date", date(1979, 5, 6), "E119", "[client] age_years", "one of them"),
    ("site_variants", "triceps", "elbow", "E113", "[site_variants] triceps", "olecranon"),
    ("skinfolds_mm", "suprailiac", 18.137, "E114", "[skinfolds_mm] suprailiac", "supraspinale"),
    ("skinfolds_mm", "suprailiac_mm", 18.1, "E114", "[skinfolds_mm] suprailiac_mm", "_anterior"),
    ("skinfolds_mm", "iliac_crest", 18.137, "E115", "[skinfolds_mm] iliac_crest", "_midaxillary"),
    ("skinfolds_mm", "triceps_mm", 21.137, "E122", "[skinfolds_mm] triceps_mm", "one line"),
    ("girths_cm", "neck", "slender", "E101", "[girths_cm] neck", '"32.5 in"'),
    ("girths_cm", "neck", "", "E101", "[girths_cm] neck", "leave the line out"),
    ("girths_cm", "neck", True, "E101", "[girths_cm] neck", "cm"),
    ("girths_cm", "neck", None, "E101", "[girths_cm] neck", "cm"),
    ("girths_cm", "neck", {"left": 33.146}, "E101", "[girths_cm] neck", "cm"),
    ("girths_cm", "neck", [[33.146, 33.158]], "E101", "[girths_cm] neck", "cm"),
    ("girths_cm", "neck", "33.146 pouns", "E104", "[girths_cm] neck", "mm, cm, m, in or ft"),
    ("girths_cm", "neck", "33.146 kg", "E105", "[girths_cm] neck", "mm, cm, m, in or ft"),
    ("mass_height", "weight_kg", "71.362 cm", "E105", "[mass_height] weight_kg", "kg, g, lb"),
    ("girths_cm", "neck", "33,146", "E108", "[girths_cm] neck", "point"),
    ("girths_cm", "neck", math.nan, "E106", "[girths_cm] neck", "again"),
    ("girths_cm", "neck", -math.inf, "E106", "[girths_cm] neck", "again"),
    ("girths_cm", "neck", 10**400, "E106", "[girths_cm] neck", "again"),
    ("girths_cm", "neck", -33.146, "E107", "[girths_cm] neck", "again"),
    ("girths_cm", "neck", 0, "E107", "[girths_cm] neck", "again"),
    ("girths_cm", "neck", "60+", "E101", "[girths_cm] neck", "cm"),
    ("girths_cm", "neck", [33.1, 33.2, 33.15, 33.1], "E109", "[girths_cm] neck", "two or three"),
    ("girths_cm", "neck", [], "E110", "[girths_cm] neck", "leave the line out"),
    ("girths_cm", "neck", [33.1, 0.331], "E102", "[girths_cm] neck, reading 2", "metres"),
    ("mass_height", "height_cm", 1.68274, "E102", "[mass_height] height_cm", "metres"),
    ("girths_cm", "waist_midpoint", 32.437, "E102", "[girths_cm] waist_midpoint", "inches"),
    ("skinfolds_mm", "triceps", 2.1375, "E103", "[skinfolds_mm] triceps", "centimetres"),
    ("skinfolds_mm", "triceps", 91.375, "E102", "[skinfolds_mm] triceps", "again"),
    ("skinfolds_mm", "triceps", 61.375, "E103", "[skinfolds_mm] triceps", "--accept-unusual"),
    ("mass_height", "weight_kg", 157.375, "E123", "weight_kg, height_cm", "pounds"),
    ("mass_height", "weight_kg", 11.375, "E102", "[mass_height] weight_kg", "stone"),
    ("intake", "blood_pressure_mmhg", "93/147", "E125", "[intake] blood_pressure_mmhg", "again"),
]


def spoken(case: Case) -> str:
    return f"{case[3]}-{case[1] or case[0]}-{str(case[2])[:20]}"


@pytest.mark.parametrize("case", BAD_LINES, ids=spoken)
def test_one_bad_line(case: Case) -> None:
    section, name, value, code, place, words = case
    problems = problems_of(patched((section, name, value)))
    assert (code, f"K-057.toml: {place}") in {(problem.code, problem.where) for problem in problems}
    # a client section that cannot be read also leaves sex and age missing
    assert len(problems) == (3 if (section, name) == ("client", "") else 1)
    assert words in next(problem.remedy for problem in problems if problem.code == code)


def test_an_empty_visit_and_a_visit_without_a_day() -> None:
    nothing = {"client": {"sex": "female", "age_years": 41.375}}
    assert [problem.code for problem in problems_of(nothing)] == ["E120"]
    born = patched(("client", "age_years", GONE), ("visit", "date", GONE))
    born["client"]["birth_date"] = date(1984, 7, 1)
    assert [(problem.code, problem.where) for problem in problems_of(born)] == [
        ("E112", "K-057.toml: [visit] date")
    ]
    born["visit"]["date"] = date(2096, 5, 6)
    assert [problem.code for problem in problems_of(born)] == ["E116"]


def test_every_code_of_bad_input_has_a_case_here() -> None:
    tried = {case[3] for case in BAD_LINES} | {"E120", "E124", "E126", "E127"}
    assert tried == {code for code in CODES if code.startswith("E1")}


def test_all_faults_of_one_file_are_reported_at_once() -> None:
    left_out = ("E121", "E122", "E123", "E124")
    cases = {
        case[:2]: case
        for case in BAD_LINES
        if case[1] and case[0] != "client" and case[3] not in left_out
    }
    tree = patched(
        ("client", "sex", GONE),
        ("client", "age_years", GONE),
        ("client", "shoe_size", 39.257),
        *((section, name, case[2]) for (section, name), case in cases.items()),
    )
    wanted = {(case[3], f"K-057.toml: {case[4]}") for case in cases.values()}
    wanted |= {("E111", "K-057.toml: [client] sex"), ("E112", "K-057.toml: [client] age_years")}
    wanted |= {("E115", "K-057.toml: [client] shoe_size")}
    assert {(problem.code, problem.where) for problem in problems_of(tree)} == wanted
    assert len(wanted) > 12


@pytest.mark.parametrize(
    ("tree", "codes"),
    [
        # one wrong name must not hide that weight and waist do not go together
        (
            patched(("client", "shoe_size", 39.257), ("mass_height", "weight_kg", 157.375)),
            {"E115", "E123"},
        ),
        # nor a missing sex that nothing was measured
        ({"client": {"age_years": 41.375}}, {"E111", "E120"}),
        # nor a birth date that the age in it is impossible
        (
            patched(("client", "age_years", GONE), ("client", "birth_date", date(1850, 7, 1))),
            {"E102"},
        ),
        # "60+" excuses the reading it was written for, not the next one
        (patched(("skinfolds_mm", "thigh", ["60+", 2.1375])), {"E103"}),
    ],
    ids=["fit", "nothing measured", "impossible age", "after the end of scale"],
)
def test_no_fault_hides_behind_another(tree: dict[str, Any], codes: set[str]) -> None:
    assert {problem.code for problem in problems_of(tree)} == codes


@pytest.mark.parametrize(
    "tree", [[], "visit", None, {1: 2}, {"client": {1: 2}}, {"girths_cm": {1: 2}}]
)
def test_a_tree_of_another_shape_is_a_problem_too(tree: Any) -> None:
    with pytest.raises(FoldspanError):
        Visit.from_dict(tree)


def test_accept_unusual_uses_the_value_and_says_so() -> None:
    tree = patched(("skinfolds_mm", "triceps", 61.375))
    visit = Visit.from_dict(tree, accept_unusual=True)
    assert visit.accepted["triceps_mm"].value == 61.375
    assert [warning.code for warning in visit.warnings] == ["W103"]
    assert "61.375" not in repr(visit.warnings)
    result = reconcile(visit)
    assert result.has_range
    assert "unusual_value" in [finding.code for finding in result.findings]


def test_accept_unusual_still_refuses_the_impossible() -> None:
    with pytest.raises(FoldspanError) as caught:
        Visit.from_dict(patched(("skinfolds_mm", "triceps", 91.375)), accept_unusual=True)
    assert [problem.code for problem in caught.value.problems] == ["E102"]


def test_every_unusual_thing_that_was_accepted_is_warned_of() -> None:
    tree = patched(("skinfolds_mm", "triceps", 61.375), ("mass_height", "weight_kg", 157.375))
    visit = Visit.from_dict(tree, accept_unusual=True)
    assert {warning.code for warning in visit.warnings} == {"W103", "W123"}


def test_a_reading_at_the_end_of_the_scale() -> None:
    visit = Visit.from_dict(patched(("skinfolds_mm", "thigh", ["60+", "60 mm"])))
    thigh = visit.accepted["thigh_mm"]
    assert (thigh.value, thigh.is_at_least) == (pytest.approx(66.0), True)
    assert not visit.accepted["triceps_mm"].is_at_least


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ([("client", "age_years", 17.9)], "E201"),
        ([("client", "pregnant", True)], "E202"),
        # ordinary girls (WHO medians, not verified in print: 18.2 kg at five, 138.6 cm at ten) hear that
        # they are too young, not that their size is odd
        ([("client", "age_years", 5), ("mass_height", "", {"weight_kg": 18.2})], "E201"),
        ([("client", "age_years", 10), ("mass_height", "", {"height_cm": 138.6})], "E201"),
        # and a woman late in pregnancy not that her waist is
        ([("client", "pregnant", True), ("girths_cm", "waist_midpoint", 109.437)], "E202"),
        ([("mass_height", "", {}), ("girths_cm", "", {"wrist_girth": 15.637})], "E203"),
    ],
)
def test_no_range_but_a_reason_and_what_to_do(
    changes: list[tuple[str, str, object]], code: str
) -> None:
    tree = patched(*changes)
    if code == "E203":
        del tree["skinfolds_mm"]
    result = reconcile(Visit.from_dict(tree))
    assert not result.has_range
    assert result.verdict is None
    assert result.methods == ()
    assert [problem.code for problem in result.problems] == [code]
    assert result.problems[0].remedy
    assert not [value for value in personal_values(tree) if value in repr(result.problems)]


def test_eighteen_is_grown_up() -> None:
    assert reconcile(Visit.from_dict(patched(("client", "age_years", 18)))).has_range
