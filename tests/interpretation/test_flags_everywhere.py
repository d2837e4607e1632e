"""One person, one list of flags: as a visit file, as the end of a session, and as a row of a table.

Codes, their order, the most urgent level, and which of them are borderline. Who gets no adult range is
told the same as who gets one, but for what needs a range.
"""

from __future__ import annotations

import csv
import json
import tempfile
from dataclasses import replace
from functools import cache
from typing import Any

import pandas as pd
import pytest

import foldspan
from foldspan.catalogue.card import ReferenceMethod
from foldspan.results.result import Health
from foldspan.results.spoken import SpokenFlag
from foldspan.session.events import Answered
from foldspan.session.state import State
from foldspan.session.to_visit import visit_tree
from foldspan.standards.referral_rules import LEVELS, RULE_BY_CODE
from foldspan.tables.bands import MEASURES, systems

HEIGHT = 168.0
ABOUT = ("sex", "age_years", "athlete", "pregnant", "family_background")
LISTS = ("symptoms", "conditions", "medicines")
WOMAN: dict[str, Any] = {"sex": "female", "age_years": 40.0, "bmi": 22.0, "waist": 0.45}
SEVEN = ("triceps", "biceps", "subscapular", "supraspinale", "abdominal", "thigh", "calf")


def lean(each: float) -> dict[str, float]:
    return {f"{name}_mm": each for name in SEVEN}


def lost(percent: float, months: float, bmi: float = 22.0, **more: Any) -> dict[str, Any]:
    weight = bmi * (HEIGHT / 100.0) ** 2
    earlier = round(weight / (1.0 - percent / 100.0), 2)
    return {"earlier_weight_kg": earlier, "earlier_weight_months_ago": months, "bmi": bmi} | more


# what people told and measured at, beside a usual body of 40; several flags of several levels
PEOPLE: dict[str, dict[str, Any]] = {
    "nothing": {},
    "chest pain": {"symptoms": "chest_pain"},
    "many levels": {"symptoms": "falls; yellow_skin; chest_pain", "age_years": 70.0},
    "two of one level": {"symptoms": "yellow_skin", "eating_concern": True, "bmi": 17.7},
    "urgent after soon": {"eating_concern": True, "symptoms": "fainting; yellow_skin"},
    "pressure": {"blood_pressure_mmhg": "152/96"},
    "pressure, very high": {"blood_pressure_mmhg": "185/96", "eating_concern": True},
    "low weight": {"bmi": 17.0, "waist": 0.40, "eating_concern": True},
    "severely low": {"bmi": 15.6, "waist": 0.38},
    "low, borderline": {"bmi": 18.47, "waist": 0.42},
    "severely low, borderline": {"bmi": 15.98, "waist": 0.38, "symptoms": "falls"},
    "thin at 15, borderline": {"bmi": 15.85, "waist": 0.38},
    "a limb, borderline": {"bmi": 16.95, "waist": 0.38},
    "thin, just of age": {"age_years": 18.0, "bmi": 16.7, "waist": 0.38},
    "low at 72": {"bmi": 19.4, "age_years": 72.0, "waist": 0.44},
    "low, large waist": {"bmi": 18.0, "waist": 0.52},
    "large waist": {"bmi": 23.0, "waist": 0.53},
    "much weight": {"bmi": 41.0, "waist": 0.7, "conditions": "diabetes"},
    "athlete": {"bmi": 31.0, "waist": 0.46, "athlete": True},
    "athlete, told": {"bmi": 31.0, "waist": 0.46, "athlete": True, "symptoms": "chest_pain"},
    "athlete of usual weight": {"bmi": 22.0, "athlete": True},
    "chinese": {"bmi": 28.3, "waist": 0.47, "conditions": "diabetes", "family_background": "chinese"},
    "weak grip": {"grip_kg": 12.0, "age_years": 68.0},
    "weak grip by its limits": {"grip_kg": 17.0, "age_years": 68.0, "family_background": "chinese"},
    "loss": lost(12.0, 4.0, loss_wanted=False),
    "loss and a worry": lost(9.0, 4.0, loss_wanted=True, eating_concern=True),
    "loss, low": lost(12.0, 4.0, 17.9, loss_wanted=True, waist=0.42),
    "periods": {"periods_stopped": True},
    "operation": {"surgery_months_ago": 2.0, "medicines": "anticoagulant"},
    "lean": {"bmi": 20.5, "waist": 0.41, **lean(5.0)},
    "lean and told": {"bmi": 20.5, "waist": 0.41, "anabolic_drugs": True, **lean(5.0)},
}  # fmt: skip
# who gets no adult range
BARRED: dict[str, dict[str, Any]] = {
    "pregnant": {"pregnant": True},
    "after a birth": {"birth_months_ago": 3.0},
    "15": {"age_years": 15.0},
    "limb": {"conditions": "limb_loss"},
    "fluid": {"conditions": "dialysis"},
}


def joined(*parts: dict[str, Any]) -> dict[str, Any]:
    """Facts of one person; words of one list add up."""
    found = dict(WOMAN)
    for part in parts:
        both = [name for name in LISTS if name in found and name in part]
        found |= part | {name: f"{found[name]}; {part[name]}" for name in both}
    return found


def row_of(facts: dict[str, Any]) -> dict[str, Any]:
    """A person as a row of a table."""
    row = {name: value for name, value in facts.items() if name not in ("bmi", "waist")}
    row |= {"weight_kg": round(facts["bmi"] * (HEIGHT / 100.0) ** 2, 2), "height_cm": HEIGHT}
    if facts["waist"]:
        row["waist_midpoint_cm"] = round(HEIGHT * facts["waist"], 1)
    return {name: "yes" if value is True else value for name, value in row.items()}


def tree_of(facts: dict[str, Any]) -> dict[str, Any]:
    """A person as a visit file."""
    row = row_of(facts)
    known = (*ABOUT, "weight_kg", "height_cm", "waist_midpoint_cm")
    intake = {name: facts[name] for name in facts if name not in known and not name.endswith("_mm")}
    intake = {name: value for name, value in intake.items() if name not in ("bmi", "waist")}
    intake |= {name: intake[name].split("; ") for name in LISTS if name in intake}
    folds = {name[:-3]: facts[name] for name in facts if name.endswith("_mm")}
    folds = {name: value for name, value in folds.items() if name != "blood_pressure_m"}
    return {
        "client": {name: facts[name] for name in ABOUT if name in facts},
        "mass_height": {name: row[name] for name in ("weight_kg", "height_cm")},
        **({"girths_cm": {"waist_midpoint": row["waist_midpoint_cm"]}} if facts["waist"] else {}),
        **({"skinfolds_mm": folds} if folds else {}),
        **({"intake": intake} if intake else {}),
    }


def visit_of(facts: dict[str, Any]) -> foldspan.Visit:
    return foldspan.Visit.from_dict(tree_of(facts), accept_unusual=True)


@cache
def _health(facts_as_json: str, reference_method: ReferenceMethod) -> Health:
    return foldspan.health(visit_of(json.loads(facts_as_json)), reference_method=reference_method)


def health_of(facts: dict[str, Any], reference_method: ReferenceMethod = "density") -> Health:
    """The health check of a visit file, worked out once for all tests."""
    return _health(json.dumps(facts), reference_method)


def session_of(facts: dict[str, Any]) -> foldspan.Visit:
    """A person as the visit that a session leaves."""
    tree = tree_of(facts)
    go_on = ("E201", "E202", "E204", "E205", "E206", "urgent", "eating_concern")
    answers: dict[str, Any] = {key: [] for key in LISTS} | {f"go_on.{code}": True for code in go_on}
    answers |= {"guardian": True, "plan": ["quick"]} | tree["client"] | tree.get("intake", {})
    if "blood_pressure_mmhg" in answers:
        numbers = answers["blood_pressure_mmhg"].split("/")
        answers["blood_pressure_mmhg"] = [float(number) for number in numbers]
    for section, unit in (("mass_height", ""), ("girths_cm", "_cm"), ("skinfolds_mm", "_mm")):
        for name, value in tree.get(section, {}).items():
            answers[f"1.{name}{unit}"] = {"value": value}
    state = State(steps=tuple(Answered(key, value) for key, value in answers.items()))
    return foldspan.Visit.from_dict(visit_tree(state), accept_unusual=True)


def rows_of(people: list[dict[str, Any]], *words: str) -> list[dict[str, str]]:
    """People as the rows of one table, screened; ``words`` are options of the command."""
    options = dict(zip(words[::2], words[1::2], strict=True))
    with tempfile.TemporaryDirectory() as folder:
        table, out = f"{folder}/in.csv", f"{folder}/out.csv"
        pd.DataFrame([row_of(person) for person in people]).to_csv(table, index=False)
        foldspan.screen_table(table, out, workers=1, **options)  # type: ignore[arg-type]
        with open(out, encoding="utf-8", newline="") as lines:
            return list(csv.DictReader(lines))


def cells(line: dict[str, str], name: str = "flags") -> list[str]:
    return line[name].split("; ") if line[name] else []


def codes(flags: tuple[SpokenFlag, ...]) -> list[str]:
    return [flag.code for flag in flags]


def check_same(line: dict[str, str], flags: tuple[SpokenFlag, ...]) -> None:
    """A row has the flags of a visit, in their order."""
    assert cells(line) == codes(flags)
    assert line["worst_flag_level"] == (flags[0].level if flags else "")
    unsure = [flag.code for flag in flags if flag.is_borderline]
    assert cells(line, "borderline_flags") == unsure


def check_bands(line: dict[str, str], found: Health, reference_method: ReferenceMethod) -> None:
    """A row has the likeliest bands of a visit, and their chances; fat is on the scale asked for."""
    for measure in MEASURES:
        bands = [band for band in found.bands if band.name in systems(measure, reference_method)]
        cell, chance = line[f"{measure}_band"], line[f"{measure}_band_chance"]
        if not bands:
            assert cell == ""
            continue
        # where two systems speak of a client the one that names the background stands in a row
        chances = bands[-1].probabilities
        assert cell == max(chances, key=chances.__getitem__)
        assert float(chance) == pytest.approx(chances[cell], abs=0.0051)


def check_session(facts: dict[str, Any], flags: tuple[SpokenFlag, ...]) -> bool:
    """The visit of a session has the flags of a visit file, to the last word.

    False where the session does not ask for something that the file tells, such as a grip.
    """
    visit, ended = visit_of(facts), session_of(facts)
    intakes = [
        (replace(visit_read.intake, is_given=True, answered_none=()), visit_read.client.pregnant)
        for visit_read in (visit, ended)
    ]
    if intakes[0] != intakes[1]:
        return False
    found = foldspan.health(ended).flags
    assert [flag.to_dict() for flag in found] == [flag.to_dict() for flag in flags]
    return True


ADULTS = [joined(person) for person in PEOPLE.values()]
MEN = [
    joined(person, {"sex": "male"})
    for person in PEOPLE.values()
    if not {"periods_stopped"} & person.keys()
]


@pytest.mark.parametrize("reference_method", ["density", "dxa"])
@pytest.mark.parametrize("people", [ADULTS, MEN], ids=["women", "men"])
def test_an_adult_has_the_same_flags_as_a_visit_a_session_and_a_row(
    people: list[dict[str, Any]], reference_method: ReferenceMethod
) -> None:
    lines = rows_of(people, "reference_method", reference_method)
    assert sum(len(cells(line)) > 1 for line in lines) > 5
    assert any(cells(line, "borderline_flags") for line in lines)
    sessions = 0
    for facts, line in zip(people, lines, strict=True):
        found = health_of(facts, reference_method)
        assert line["fat_percent"]
        check_same(line, found.flags)
        check_bands(line, found, reference_method)
        if facts["sex"] == "female" and reference_method == "density":
            sessions += check_session(facts, found.flags)
    assert sessions > 12 or facts["sex"] == "male" or reference_method == "dxa"


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("why", BARRED)
def test_who_gets_no_range_has_the_same_flags_as_a_visit_a_session_and_a_row(
    why: str, sex: str
) -> None:
    people = [joined(person, BARRED[why], {"sex": sex}) for person in PEOPLE.values()]
    lines = rows_of(people)
    assert any(cells(line, "borderline_flags") for line in lines)
    sessions = 0
    for facts, line in zip(people, lines, strict=True):
        found = health_of(facts)
        assert (line["fat_percent"], found.bands) == ("", ())
        check_same(line, found.flags)
        sessions += sex == "female" and check_session(facts, found.flags)
    assert sessions > 6 or sex == "male"


# cells that may mean that no range holds, and cannot be read
DOUBTS: list[dict[str, Any]] = [
    {"birth_months_ago": "recently"}, {"conditions": "something unheard of"},
]  # fmt: skip


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("doubt", DOUBTS, ids=lambda doubt: next(iter(doubt)))
def test_who_gets_no_range_for_a_doubt_has_all_flags_but_those_of_fat(
    sex: str, doubt: dict[str, Any]
) -> None:
    """A row alone: a visit file is sent back. What was read of it counts as that of any adult."""
    people = [joined(person, {"sex": sex}) for person in PEOPLE.values()]
    lines = rows_of([joined(person, doubt) for person in people])
    seen = 0
    for facts, line in zip(people, lines, strict=True):
        flags = health_of(facts).flags
        of_fat = {
            flag.code for flag in flags if RULE_BY_CODE[flag.code].ladder in ("low_fat", "lean")
        }
        of_fat -= {"folds_very_low"}
        seen += bool(of_fat)
        assert line["fat_percent"] == ""
        check_same(line, tuple(flag for flag in flags if flag.code not in of_fat))
    assert seen


def test_of_unknown_age_is_flagged_what_needs_no_range_each_once() -> None:
    """Taken for an adult; the flags of a visit that has no range for another reason."""
    of_forty = [person for person in PEOPLE.values() if "age_years" not in person]
    people = [joined(person, {"age_years": None}) for person in of_forty]
    for facts, line in zip(of_forty, rows_of(people), strict=True):
        flags = health_of(joined(facts, BARRED["fluid"])).flags
        check_same(line, flags)


def test_company_in_a_table_changes_no_flag() -> None:
    """Every kind of row in one table: with a range, without, of either sex and of none."""
    people = [
        joined(person, why, {"sex": sex, "age_years": age or person.get("age_years", 40.0)})
        for sex in ("female", "male", "", "both")
        for why in ({}, *BARRED.values())
        for age in (0.0, 15.0)
        for person in list(PEOPLE.values())[::5]
    ]
    named = ["flags", "borderline_flags", "worst_flag_level"]
    together = rows_of(people)
    for facts, line in zip(people[::7], together[::7], strict=True):
        (alone,) = rows_of([facts])
        assert [alone[name] for name in named] == [line[name] for name in named]
    assert len({line["flags"] for line in together}) > 12


# ladders and rules of what only a range, a waist or a whole body can say
OF_A_RANGE = ("high_weight", "low_fat", "lean", "muscle")
NOT_WITHOUT = ("strong_build", "bmi_low_with_loss", "bmi_low_for_illness")


def needs_none(found: list[str]) -> list[str]:
    return [
        code
        for code in found
        if RULE_BY_CODE[code].ladder not in OF_A_RANGE and code not in NOT_WITHOUT
    ]


@pytest.mark.parametrize("name", PEOPLE)
def test_what_needs_no_range_is_flagged_without_one(name: str) -> None:
    facts = joined(PEOPLE[name])
    plain = codes(health_of(facts).flags)
    fluid = codes(health_of(joined(facts, BARRED["fluid"])).flags)
    extra = set(codes(health_of(joined(BARRED["fluid"])).flags))
    assert [code for code in fluid if code not in extra] == needs_none(plain) or "muscle" in {
        RULE_BY_CODE[code].ladder for code in plain
    }
    if any(RULE_BY_CODE[code].ladder == "muscle" for code in plain):
        assert "muscle_signs" in fluid


@cache
def rows_of_open_sex() -> dict[str, dict[str, str]]:
    """Everybody as a row of one table, by both sets of equations."""
    rows = rows_of([joined(person, {"sex": "both"}) for person in PEOPLE.values()])
    return dict(zip(PEOPLE, rows, strict=True))


@pytest.mark.parametrize("name", PEOPLE)
def test_where_the_sex_is_open_flags_stand_that_need_none_or_that_both_answers_give(
    name: str,
) -> None:
    """And those of one answer that refer; of a ladder one, the most urgent first."""
    facts = joined(PEOPLE[name], {"sex": "both"})
    result = foldspan.reconcile(visit_of(facts))
    found = codes(result.flags)
    plain = cells(rows_of_open_sex()[name])
    each = [codes(answer.flags) for _, answer in result.by_sex]
    in_all, in_any = set(each[0]) & set(each[1]), set(each[0]) | set(each[1])
    refer = {code for code in in_any if RULE_BY_CODE[code].level.startswith("refer")}
    assert set(found) <= set(plain) | in_all | refer
    rank = {
        code: (-LEVELS.index(rule.level), place)
        for place, (code, rule) in enumerate(RULE_BY_CODE.items())
    }
    assert found == sorted(found, key=rank.__getitem__)
    ladders = [RULE_BY_CODE[code].ladder for code in found if RULE_BY_CODE[code].ladder]
    assert len(ladders) == len(set(ladders))
    for code in {*plain, *in_all, *refer} - set(found):  # another of its ladder, as urgent or more
        rule = RULE_BY_CODE[code]
        beside = [
            other for other in found if rule.ladder and RULE_BY_CODE[other].ladder == rule.ladder
        ]
        assert beside, code
        assert rank[beside[0]][0] <= rank[code][0]
