"""Three doors, one answer: a client typed into a session, in a visit file and as a row of a table.

Who is refused and why, which flags are raised and which bands are told. Where a statement cannot be, the
session asks for it again, the file is sent back and the row says so, all by the same code.
"""

from __future__ import annotations

import csv
import tempfile
from functools import cache
from typing import Any, NamedTuple

import pytest

import foldspan
from foldspan.intake.rules import LISTS
from foldspan.problems import FoldspanError
from foldspan.session.parse_input import parse_line
from foldspan.session.state import State
from foldspan.session.to_visit import visit_tree
from foldspan.tables.bands import systems
from measure_driver import FACTS, MAN, line_at

Facts = dict[str, Any]
WOMAN: Facts = {
    "sex": "female", "age_years": 41.0, "weight_kg": 63.2, "height_cm": 168.0,
    "waist_midpoint_cm": 76.0,
}  # fmt: skip
NARROW: Facts = {"waist_midpoint_cm": None}  # a session measures weight and height only
CHILD: Facts = NARROW | {"age_years": 7.0, "weight_kg": 20.0, "height_cm": 122.0}
HOMES = dict.fromkeys(("sex", "age_years", "pregnant", "athlete", "family_background"), "client")
HOMES |= dict.fromkeys(("weight_kg", "height_cm"), "mass_height")
HOMES |= {"waist_midpoint_cm": "girths_cm"}
REFUSALS = ("E201", "E202", "E204", "E205", "E206", "E207", "E203")


class Answer(NamedTuple):
    """What a door says: codes of what cannot be, the refusal, flags, and the likeliest bands."""

    wrong: tuple[str, ...]
    refusal: str
    flags: tuple[str, ...]
    bands: tuple[str, ...] = ()


def facts_of(changes: Facts) -> Facts:
    return {name: value for name, value in (WOMAN | changes).items() if value is not None}


def tree_of(facts: Facts) -> dict[str, Any]:
    """A client as a visit file."""
    tree: dict[str, Any] = {}
    for name, value in facts.items():
        home = HOMES.get(name, "intake")
        key = name.removesuffix("_cm") if home == "girths_cm" else name
        tree.setdefault(home, {})[key] = value.split(", ") if name in LISTS else value
    return tree


def shown_bands(health: foldspan.Health) -> tuple[str, ...]:
    """The likeliest band of each measure of a table; of a background its own standard speaks."""
    found = []
    for names in (systems("bmi", "density"), systems("waist_to_height", "density")):
        chances = [band.probabilities for band in health.bands if band.name in names]
        found.append(max(chances[-1], key=chances[-1].__getitem__) if chances else "")
    return tuple(found)


def answer_of(tree: dict[str, Any]) -> Answer:
    try:
        visit = foldspan.Visit.from_dict(tree, accept_unusual=True)
    except FoldspanError as error:
        return Answer(tuple(problem.code for problem in error.problems), "", ())
    result = foldspan.reconcile(visit)
    refusal = result.problems[0].code if result.problems else ""
    flags = tuple(flag.code for flag in result.health.flags)
    return Answer((), refusal, flags, shown_bands(result.health))


def by_file(facts: Facts) -> Answer:
    return answer_of(tree_of(facts))


def by_session(facts: Facts) -> Answer:
    """What is typed, line by line; a line that is asked back is typed once more, and stands."""
    lines = MAN | {name: str(value) for name, value in facts.items()}
    lines |= {
        name: "y" if value else "n" for name, value in facts.items() if value in (True, False)
    }
    state = State().after("begun", FACTS)
    while state.prompt.kind != "done":
        line = line_at(state, lines)
        assert isinstance(line, str)
        typed = parse_line(state, line)
        if typed.asks_back:
            typed = parse_line(state, line, asked_back=line)
        if not typed.event:
            assert typed.problem is not None
            return Answer((typed.problem.code,), "", ())
        state = state.after(typed.event, dict(typed.body or {}))
    return answer_of(visit_tree(state))


@cache
def rows() -> dict[str, dict[str, str]]:
    """Every client of this file as a row of one table."""
    cases = {name: facts_of(facts) for name, facts in (SOUND | WRONG | UNFINISHED).items()}
    names = list(dict.fromkeys(name for facts in cases.values() for name in facts))
    words = {True: "yes", False: "no"}
    with tempfile.TemporaryDirectory() as folder:
        with open(f"{folder}/in.csv", "w", encoding="utf-8", newline="") as file:
            lines = csv.DictWriter(file, ["code", *names], restval="")
            lines.writeheader()
            for code, facts in cases.items():
                row = {
                    name: words[value] if isinstance(value, bool) else value
                    for name, value in facts.items()
                }
                lines.writerow(row | {"code": code})
        foldspan.screen_table(f"{folder}/in.csv", f"{folder}/out.csv", workers=1)
        with open(f"{folder}/out.csv", encoding="utf-8", newline="") as file:
            return {row["code"]: row for row in csv.DictReader(file)}


def by_row(name: str) -> Answer:
    row = rows()[name]
    codes = [part[-5:-1] for part in row["problems"].split("; ") if part.endswith("]")]
    refusal = next((code for code in REFUSALS if code in codes), "")
    assert not (refusal and row["fat_percent"])
    wrong = tuple(code for code in codes if code[0] == "E" and code not in REFUSALS)
    flags = tuple(row["flags"].split("; ")) if row["flags"] else ()
    return Answer(wrong, refusal, flags, (row["bmi_band"], row["waist_to_height_band"]))


def lost(kilograms: float, months: float, **more: Any) -> Facts:
    earlier = WOMAN["weight_kg"] + kilograms
    return {"earlier_weight_kg": earlier, "earlier_weight_months_ago": months} | more


# what can be told, and is answered the same from every door
SOUND: dict[str, Facts] = {
    "nothing told": {},
    "pregnant": {"pregnant": True} | NARROW,
    "not pregnant": {"pregnant": False},
    "pregnant, and pressure": {"pregnant": True, "blood_pressure_mmhg": "145/92"} | NARROW,
    "after a birth": {"birth_months_ago": 3.0},
    "half a year after a birth": {"birth_months_ago": 6.0},
    "after a birth, and lost": {"birth_months_ago": 2.0, **lost(8.0, 3.0)},
    "after a birth, and pressure": {"birth_months_ago": 2.0, "blood_pressure_mmhg": "150/80"},
    "15": {"age_years": 15.0, "weight_kg": 40.0} | NARROW,
    "just under 18": {"age_years": 17.9} | NARROW,
    "just 18": {"age_years": 18.0},
    "15, of either sex": {"age_years": 15.0, "weight_kg": 38.0, "sex": "both"} | NARROW,
    "a leg is missing": {"conditions": "limb loss", "weight_kg": 45.0},
    "fluid": {"conditions": "dialysis"},
    "swollen, and a limb": {"symptoms": "swelling", "conditions": "limb loss"},
    "either sex": {"sex": "both"},
    "either sex, light": {"sex": "both", "weight_kg": 50.5, "symptoms": "chest pain"},
    "either sex, light at 72": {"sex": "both", "age_years": 72.0, "weight_kg": 58.0},
    "either sex, chinese": {
        "sex": "both", "family_background": "chinese", "weight_kg": 75.0, "waist_midpoint_cm": 88.0,
    },
    "either sex, athlete": {"sex": "both", "athlete": True, "weight_kg": 84.0,
                            "waist_midpoint_cm": 90.0},
    "chinese": {"family_background": "chinese", "weight_kg": 75.0, "waist_midpoint_cm": 88.0},
    "light": {"weight_kg": 44.0, "waist_midpoint_cm": 60.0},
    "light, large waist": {"weight_kg": 50.0, "waist_midpoint_cm": 88.0},
    "athlete": {"athlete": True, "weight_kg": 84.0, "waist_midpoint_cm": 80.0},
    "pressure": {"blood_pressure_mmhg": "152/96"},
    "pressure that cannot wait": {"blood_pressure_mmhg": "185/110"},
    "told together": {"symptoms": "yellow skin, fever"},
    "lost much": lost(8.0, 5.0, loss_wanted=False),
    "lost, and nobody knows when": {"earlier_weight_kg": 71.0, "loss_wanted": False},
    "gained": lost(-8.0, 3.0),
    "operated": {"surgery_months_ago": 2.0},
    "periods stopped": {"periods_stopped": True},
    "periods stopped at 60": {"periods_stopped": True, "age_years": 60.0},
    "eating": {"eating_concern": True, "weight_kg": 49.0, "waist_midpoint_cm": 64.0},
}  # fmt: skip
# what cannot be, and its code
WRONG: dict[str, Facts] = {
    "E102 age": {"age_years": 130.0},
    "E102 months": lost(5.0, 700.0),
    "E102 too soon": lost(5.0, 0.05),
    "E102 earlier weight": {"earlier_weight_kg": 20.0},
    "E102 operation": {"surgery_months_ago": -1.0},
    "E113 unheard of": {"symptoms": "frobnication"},
    "E101 birth": {"birth_months_ago": "recently"},
    "E125 more lost than left": {"earlier_weight_kg": 150.0, "earlier_weight_months_ago": 30.0},
}
# a row says more than a session asks for; the file is sent back or tells the same
UNFINISHED: dict[str, Facts] = {
    "a body nobody has, at 15": NARROW | {"age_years": 15.0, "weight_kg": 16.0, "height_cm": 170.0},
    "a body nobody has, pregnant": NARROW | {"pregnant": True, "weight_kg": 260.0,
                                             "height_cm": 152.0},
    "a child that lost": CHILD | {"earlier_weight_kg": 24.0, "earlier_weight_months_ago": 3.0,
                                  "loss_wanted": False},
    "crossed": {"blood_pressure_mmhg": "120/190"},
    "crossed, and no matter": {"blood_pressure_mmhg": "80/120"},
    "one number": {"blood_pressure_mmhg": "190"},
    "a loss below zero": {"weight_lost_kg": -5.0, "earlier_weight_kg": 68.2,
                          "earlier_weight_months_ago": 5.0, "loss_wanted": False},
}  # fmt: skip


@pytest.mark.parametrize("name", SOUND)
def test_a_client_is_answered_the_same_from_every_door(name: str) -> None:
    facts = facts_of(SOUND[name])
    session, file, row = by_session(facts), by_file(facts), by_row(name)
    assert session.wrong == file.wrong == ()
    assert session == file
    if facts["sex"] == "both" and file.refusal == "E207":
        # a visit shows both answers, whose flags of fat a row cannot have
        of_fat = {"fat_very_low", "fat_near_minimum", "lean_low", "lean_low_with_loss"}
        file = file._replace(flags=tuple(flag for flag in file.flags if flag not in of_fat))
    assert row.refusal == file.refusal or (row.refusal, file.refusal) == ("E201", "E207")
    assert (row.flags, row.bands) == (file.flags, file.bands)


@pytest.mark.parametrize("name", WRONG)
def test_what_cannot_be_is_asked_again_sent_back_and_marked(name: str) -> None:
    code, facts = name[:4], facts_of(WRONG[name])
    assert by_session(facts).wrong[0] == code
    assert code in by_file(facts).wrong
    assert code in by_row(name).wrong


def test_an_earlier_weight_that_cannot_be_is_asked_again_after_the_weight_as_well() -> None:
    """After ``back``, when the weight was read: a visit file would be sent back for it."""
    state = State().after("begun", FACTS)
    while state.prompt.key != "2.weight_kg":
        line = line_at(state, MAN | {"earlier_weight_kg": "85"})
        assert isinstance(line, str)
        typed = parse_line(state, line)
        state = state.after(typed.event, dict(typed.body or {}))
    back = parse_line(state, "back earlier_weight_kg")
    state = state.after(back.event, dict(back.body or {}))
    assert state.prompt.key == "earlier_weight_kg"
    too_much, stays = parse_line(state, "161"), parse_line(state, "161", asked_back="161")
    assert too_much.problem is not None
    assert (too_much.problem.code, too_much.event, stays.event) == ("E125", "", "")
    assert parse_line(state, "160").event


@pytest.mark.parametrize("sex", ["female", "male", "both"])
def test_weight_and_height_that_cannot_both_be_are_refused_whichever_equations_fit(
    sex: str,
) -> None:
    facts = facts_of({"sex": sex, "weight_kg": 395.0, "height_cm": 152.0})
    assert by_session(facts).wrong == by_file(facts).wrong == ("E102",)


@pytest.mark.parametrize("sex", ["female", "male", "both"])
def test_a_waist_that_does_not_fit_is_asked_back_whichever_equations_fit(sex: str) -> None:
    state, lines = State().after("begun", FACTS), MAN | {"sex": sex, "waist_midpoint_cm": "135"}
    while state.prompt.key != "1.waist_midpoint_cm":
        line = line_at(state, lines)
        assert isinstance(line, str)
        typed = parse_line(state, line)
        state = state.after(typed.event, dict(typed.body or {}))
    asked = parse_line(state, "135").problem
    assert asked is not None
    assert (asked.code, "weight, height and waist" in asked.what) == ("E123", True)


@pytest.mark.parametrize("name", ["a body nobody has, at 15", "a body nobody has, pregnant"])
def test_a_body_that_nobody_has_is_refused_of_the_young_and_in_pregnancy_too(name: str) -> None:
    """It is a slip: taken as it stands a file called it urgent, and the table left it out."""
    facts = facts_of(UNFINISHED[name])
    session = by_session(facts)
    assert session.wrong == by_file(facts).wrong == ("E102",)
    assert "E102" in by_row(name).wrong
    assert by_row(name).flags == ()


def test_a_loss_of_a_child_is_flagged_though_it_weighs_less_than_adults_can() -> None:
    facts = facts_of(UNFINISHED["a child that lost"])
    assert by_file(facts).flags == by_row("a child that lost").flags == ("loss_fast",)


@pytest.mark.parametrize("name", ["crossed", "one number"])
def test_a_pressure_in_doubt_that_cannot_wait_is_told_by_file_and_table(name: str) -> None:
    """Of 120/190 the higher number may be the upper one."""
    assert by_session(facts_of(UNFINISHED[name])).wrong == ("E101",)
    assert "E127" in by_file(facts_of(UNFINISHED[name])).wrong
    assert by_row(name).flags == ("pressure_very_high",)


def test_a_pressure_in_doubt_that_can_wait_is_left_out() -> None:
    name = "crossed, and no matter"
    assert by_file(facts_of(UNFINISHED[name])).wrong == ("E125",)
    assert (by_row(name).wrong, by_row(name).flags) == (("E125",), ())


def test_a_loss_written_below_zero_does_not_hide_the_earlier_weight() -> None:
    name = "a loss below zero"
    assert by_file(facts_of(UNFINISHED[name])).wrong == ("E107",)
    assert (by_row(name).wrong, by_row(name).flags) == (("E107",), ("loss_unplanned",))
