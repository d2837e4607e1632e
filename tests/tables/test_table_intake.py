"""Intake columns of a table: the same facts say the same as in a visit file; no cell loses a row."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

import numpy as np
import pandas as pd
import pytest
from pandas.testing import assert_frame_equal

import foldspan
from foldspan.intake.as_arrays import SelfReported, intake_as_arrays
from foldspan.intake.model import Intake
from foldspan.problems import FoldspanError
from foldspan.standards.backgrounds import BACKGROUNDS
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS
from foldspan.tables.clients import Clients
from foldspan.tables.pandas_input import rows_of

Lines = dict[str, Any]
# columns that may say that no range holds
GATES = {"birth_months_ago", "symptoms", "conditions"}
LISTS = {"symptoms": SYMPTOMS, "conditions": CONDITIONS, "medicines": MEDICINES}
NUMBERS = (
    "earlier_weight_kg", "earlier_weight_months_ago", "surgery_months_ago", "birth_months_ago",
    "grip_kg", "blood_pressure_upper_mmhg", "blood_pressure_lower_mmhg",
)  # fmt: skip
TRUTHS = ("loss_wanted", "eating_concern", "periods_stopped")
COLUMNS = (*NUMBERS, *TRUTHS, *LISTS)
RANGE = [
    "fat_percent", "fat_percent_se", "range_80_low", "range_80_high", "verdict", "equations_used",
]  # fmt: skip
CLIENT = {"sex": "female", "age_years": 41.375}
BODY = {"weight_kg": 71.362, "height_cm": 168.274, "waist_midpoint_cm": 78.437}
LOSS = {"earlier_weight_kg": 80.125, "earlier_weight_months_ago": 5.0}


def columns_of(intake: Lines) -> Lines:
    """Lines of the visit file as cells of a table."""
    cells = {name: value for name, value in intake.items() if name != "blood_pressure_mmhg"}
    for name in LISTS:
        if name in cells:
            cells[name] = "; ".join(map(str, cells[name]))
    if "blood_pressure_mmhg" in intake:
        upper, lower = intake["blood_pressure_mmhg"]
        cells |= {"blood_pressure_upper_mmhg": upper, "blood_pressure_lower_mmhg": lower}
    return cells


def visit_of(
    intake: Lines, client: Mapping[str, Any] | None = None, body: Mapping[str, Any] | None = None
) -> foldspan.Visit:
    body = BODY | dict(body or {})
    kept = {name: value for name, value in body.items() if not pd.isna(value)}
    waist = kept.pop("waist_midpoint_cm", None)
    tree: dict[str, Any] = {"client": CLIENT | dict(client or {}), "intake": intake}
    tree |= {"mass_height": kept} | ({"girths_cm": {"waist_midpoint": waist}} if waist else {})
    return foldspan.Visit.from_dict(tree, accept_unusual=True)


def row_of(
    intake: Lines, client: Mapping[str, Any] | None = None, body: Mapping[str, Any] | None = None
) -> Lines:
    return CLIENT | BODY | dict(client or {}) | dict(body or {}) | columns_of(intake)


def answer_of(*rows: Lines) -> pd.DataFrame:
    return foldspan.reconcile_table(pd.DataFrame(list(rows)))


def split(cell: str) -> list[str]:
    return cell.split("; ") if cell else []


def codes_of(problems: str) -> list[str]:
    """Codes of one row that stop something, without the columns they stand with."""
    return [part.split()[0] for part in split(problems) if part.startswith("E")]


FACTS: list[tuple[Lines, Lines]] = [
    ({}, {}),
    *(({}, {name: [word]}) for name, known in LISTS.items() for word in known),
    ({}, {"symptoms": ["tight_belly", "fever"]}),
    ({}, {"symptoms": ["yellow_skin"], "conditions": ["ascites"]}),
    ({}, {"symptoms": ["thirst_and_urine", "vomiting_or_drowsy"]}),
    ({}, {"symptoms": ["falls", "weak"], "conditions": ["diabetes"], "medicines": ["steroid"]}),
    ({}, {"eating_concern": True, "periods_stopped": True}),
    ({"age_years": 55.0}, {"periods_stopped": True}),
    ({"sex": "male"}, {"periods_stopped": False, "eating_concern": False}),
    *(({}, LOSS | {"loss_wanted": wanted}) for wanted in (True, False)),
    ({}, LOSS),
    ({}, LOSS | {"earlier_weight_kg": "12 st 9 lb", "loss_wanted": False}),
    ({}, LOSS | {"earlier_weight_kg": 66.5, "loss_wanted": False}),
    ({}, LOSS | {"earlier_weight_months_ago": 1.0, "loss_wanted": True}),
    *(({}, LOSS | {"earlier_weight_months_ago": t, "loss_wanted": False}) for t in (23, 25, 599)),
    *(
        ({}, {"blood_pressure_mmhg": pair})
        for pair in ((139, 89), (140, 80), (130, 90), (180, 80), (150, 120), (179, 119))
    ),
    *(({}, {"surgery_months_ago": months}) for months in (0, 2.9, 3)),
    *(({}, {"birth_months_ago": months}) for months in (0, 5.9, 6, 14)),
    ({}, LOSS | {"birth_months_ago": 2, "loss_wanted": False}),
    ({"pregnant": True}, LOSS | {"loss_wanted": False, "symptoms": ["fainting"]}),
    ({"pregnant": True}, {"periods_stopped": True}),
    *(
        ({"sex": sex, "age_years": age}, {"grip_kg": grip})
        for sex, grip in (("female", 15.5), ("female", 17.5), ("male", 26.5), ("male", 30.0))
        for age in (64.0, 65.0)
    ),
    *(
        ({"age_years": 70.0, "family_background": word}, {"grip_kg": 17.5, **LOSS})
        for word in BACKGROUNDS
    ),
    ({"ancestry": "japanese", "age_years": 70.0}, {"grip_kg": 17.5}),
    ({"age_years": 17.9}, LOSS | {"loss_wanted": False, "periods_stopped": True}),
    ({"age_years": 17.9, "pregnant": True}, LOSS | {"loss_wanted": False}),
    ({"age_years": 17.9}, LOSS | {"birth_months_ago": 2, "loss_wanted": False}),
    ({}, LOSS | {"conditions": ["limb_loss"], "loss_wanted": False}),
    ({"athlete": True}, {}),
]


def assert_same(line: pd.Series, visit: foldspan.Visit) -> None:
    """One line of a table against the visit of the same client."""
    result = foldspan.reconcile(visit)
    flags = [flag for flag in result.flags if flag.code != "strong_build" or visit.client.athlete]
    assert split(line["flags"]) == [flag.code for flag in flags]
    assert line["worst_flag_level"] == (flags[0].level if flags else "")
    # a row names every reason against a range, a visit the first
    assert codes_of(line["problems"])[:1] == [problem.code for problem in result.problems]
    fat = [result.fat_percent.estimate, *(result.fat_percent.range_95 or (None, None))]
    row = line[["fat_percent", "range_95_low", "range_95_high"]].to_numpy(dtype=float)
    np.testing.assert_allclose(row, np.array(fat, dtype=float), rtol=1e-9)


@pytest.fixture(scope="module")
def facts_at_once() -> pd.DataFrame:
    return answer_of(*(row_of(intake, client) for client, intake in FACTS))


@pytest.mark.parametrize("place", range(len(FACTS)), ids=lambda place: str(FACTS[place])[:60])
def test_a_fact_says_the_same_in_a_table_and_in_a_visit(
    place: int, facts_at_once: pd.DataFrame
) -> None:
    client, intake = FACTS[place]
    assert_same(facts_at_once.iloc[place], visit_of(intake, client))


def random_client(rng: np.random.Generator) -> tuple[Lines, Lines, Lines]:
    """An invented client: facts, intake and body, each often empty."""
    sex, age = str(rng.choice(["female", "male"])), round(float(rng.uniform(16, 88)), 1)
    height = round(float(rng.normal(162 if sex == "female" else 176, 7)), 1)
    weight = round(float(rng.uniform(15, 44)) * (height / 100) ** 2, 1)
    client: Lines = {"sex": sex, "age_years": age, "athlete": bool(rng.random() < 0.1)}
    client["pregnant"] = bool(sex == "female" and 18 <= age < 45 and rng.random() < 0.1)
    client["family_background"] = str(rng.choice(["", "", *BACKGROUNDS]))
    body: Lines = {"weight_kg": weight, "height_cm": height, "waist_midpoint_cm": np.nan}
    if rng.random() < 0.6:
        body["waist_midpoint_cm"] = round(float(rng.uniform(0.38, 0.72)) * height, 1)
    intake: Lines = {}
    for name, known in LISTS.items():
        intake[name] = [word for word in known if rng.random() < 0.06 and word != "limb_loss"]
    if rng.random() < 0.6:
        intake["earlier_weight_kg"] = round(weight * float(rng.uniform(0.95, 1.2)), 1)
        intake["earlier_weight_months_ago"] = round(float(rng.choice([0.5, 3, 9, 30])), 1)
        if rng.random() < 0.7:
            intake["loss_wanted"] = bool(rng.random() < 0.5)
    if rng.random() < 0.3:
        upper = int(rng.integers(100, 200))
        intake["blood_pressure_mmhg"] = (upper, upper - int(rng.integers(20, 70)))
    for name, most in (("surgery_months_ago", 8.0), ("grip_kg", 45.0)):
        if rng.random() < 0.3:
            intake[name] = round(float(rng.uniform(0, most)), 1)
    if sex == "female" and age >= 18 and rng.random() < 0.25:
        intake["birth_months_ago"] = round(float(rng.uniform(0, 12)), 1)
    intake["eating_concern"] = bool(rng.random() < 0.1)
    intake["periods_stopped"] = bool(sex == "female" and rng.random() < 0.1)
    return client, intake, body


def test_random_rows_equal_single_visits(monkeypatch: pytest.MonkeyPatch) -> None:
    """Parts of a few rows and a shuffled index: what was told must stay with its row."""
    monkeypatch.setattr("foldspan.tables.clients.ROWS_AT_ONCE", 29)
    rng, count = np.random.default_rng(20251117), 110
    drawn = [random_client(rng) for _ in range(count)]
    frame = pd.DataFrame([row_of(intake, client, body) for client, intake, body in drawn])
    frame.index = pd.Index(rng.permutation(count), name="client")
    answer = foldspan.reconcile_table(frame)
    seen: set[str] = set()
    for place, (client, intake, body) in enumerate(drawn):
        assert_same(answer.iloc[place], visit_of(intake, client, body))
        seen |= {*split(answer["flags"].iloc[place]), *codes_of(answer["problems"].iloc[place])}
    # the draw reaches most rules, so that the comparison is not of empty cells
    assert len(seen | {"E201", "E202", "E204", "E206"}) == len(seen) > 35


def test_a_row_names_every_reason_against_a_range() -> None:
    intake = {"birth_months_ago": 2, "conditions": ["limb_loss", "dialysis"], "symptoms": ["fever"]}
    line = answer_of(row_of(intake, {"age_years": 17.0, "pregnant": True})).iloc[0]
    assert codes_of(line["problems"]) == ["E201", "E202", "E204", "E205", "E206"]
    assert line[RANGE[:4]].isna().all()
    assert (line["verdict"], line["equations_used"]) == ("", 0)


# --- faults ----------------------------------------------------------------------------------------

NO_WEIGHT = {"weight_kg": np.nan}
FAULTS: list[tuple[Lines, Lines, Lines]] = [
    *(
        ({}, LOSS | {"earlier_weight_kg": given}, {})
        for given in (
            "heavy", "80.125 cm", "80.125 pouns", "80,125", np.inf, 0, -3.5, 10.5, 142.724, "400 lb",
        )
    ),
    *(
        ({}, {name: given}, {})
        for name in ("surgery_months_ago", "birth_months_ago", "grip_kg")
        for given in ("unknown", np.inf, -1, 601)
    ),
    ({}, {"blood_pressure_mmhg": (91, 142)}, {}),
    ({}, {"blood_pressure_mmhg": (142, 142)}, {}),
    # the half of a pair that can be right raises nothing by itself here
    ({}, {"blood_pressure_mmhg": (342, 81)}, {}),
    ({}, {"blood_pressure_mmhg": (132, 9)}, {}),
    ({}, {"blood_pressure_mmhg": (np.inf, 81)}, {}),
    *(({}, {name: ["hiccups"]}, {}) for name in LISTS),
    *(({}, {name: [7]}, {}) for name in LISTS),
    *(({}, {name: "perhaps"}, {}) for name in TRUTHS[1:]),
    ({}, LOSS | {"earlier_weight_kg": 72.5, "loss_wanted": "perhaps"}, {}),
    ({}, {"earlier_weight_months_ago": 5.0}, {}),
    ({}, {"loss_wanted": True}, {}),
    ({}, LOSS, NO_WEIGHT),
]  # fmt: skip


@pytest.mark.parametrize(("client", "intake", "body"), FAULTS, ids=lambda part: str(part)[:60])
def test_a_fault_has_the_same_code_in_a_table_and_loses_no_more_than_it_must(
    client: Lines, intake: Lines, body: Lines
) -> None:
    """What gates a range and cannot be read costs the range; nothing else."""
    with pytest.raises(FoldspanError) as caught:
        visit_of(intake, client, body)
    expected = {problem.code for problem in caught.value.problems}
    row = row_of(intake, client, body)
    answer = answer_of(row, {name: cell for name, cell in row.items() if name not in COLUMNS})
    gates = GATES & {name for name in intake if intake[name] != "perhaps"}
    if gates:
        assert np.isnan(answer["fat_percent"][0])
        assert np.isfinite(answer["fat_percent"][1])
    else:
        assert answer.loc[0, [*RANGE, "flags"]].equals(answer.loc[1, [*RANGE, "flags"]])
    assert set(codes_of(answer["problems"][0])) == expected


def test_nobody_pregnant_gets_a_range_whichever_equations_fit() -> None:
    assert not foldspan.reconcile(visit_of({}, {"sex": "male", "pregnant": True})).has_range
    answer = answer_of(row_of({}, {"sex": "male", "pregnant": True}))
    assert set(split(answer["problems"][0])) == {"E202", "W127 pregnant"}
    assert answer["fat_percent"].isna().all()


@pytest.mark.parametrize(
    ("cells", "number"),
    [
        ({"grip_kg": "17.5 kg"}, {"grip_kg": 17.5}),
        ({"grip_kg": "38.58 lb"}, {"grip_kg": 17.5}),
        ({"grip_kg": " 17.5 "}, {"grip_kg": 17.5}),
        ({"surgery_months_ago": "2"}, {"surgery_months_ago": 2}),
    ],
)
def test_a_text_with_its_unit_counts_as_its_number(cells: Lines, number: Lines) -> None:
    """The contract: any number may also be a text with its unit."""
    old = {"age_years": 70.0}
    assert_frame_equal(answer_of(row_of(cells, old)), answer_of(row_of(number, old)))


def test_years_are_never_taken_for_months_nor_for_a_grip() -> None:
    """A loss in a year is no loss in a month: read as twelve months, or said to be unreadable."""
    slow = LOSS | {"loss_wanted": False}
    line = answer_of(row_of(slow | {"earlier_weight_months_ago": "1 year"})).iloc[0]
    assert "loss_fast" not in split(line["flags"])
    assert line["problems"] or split(line["flags"]) == ["loss_unplanned"]
    assert answer_of(row_of({"grip_kg": "17 years"}))["problems"][0]


GARBAGE: tuple[Any, ...] = (
    "??", "-", "n/a", "3 moons", "nan nan",
    "x" * 5000, "🙂", "0x10", "1e400", "-1e400", np.inf, -np.inf, -7.5, 10**30, 10**400, 2j,
    ["xyz"], {"xyz": True}, ("xyz",), b"??", pd.Timestamp("2025-01-01"),
    pd.Timedelta("3D"), object, np.array([1.0, 2.0]),
)  # fmt: skip
BLANK: tuple[Any, ...] = (None, np.nan, pd.NA, pd.NaT, "", "   ")


@pytest.mark.parametrize("name", COLUMNS)
def test_garbage_never_loses_a_row_and_a_range_only_where_it_may_mean_a_refusal(name: str) -> None:
    cells = [*GARBAGE, *BLANK]
    frame = pd.DataFrame([row_of({})] * len(cells))
    frame[name] = pd.Series(cells, dtype=object)
    frame.index = pd.Index([f"K-{100 + place % 20}" for place in range(len(cells))])
    answer = foldspan.reconcile_table(frame)
    assert answer.index.equals(frame.index)
    bare = foldspan.reconcile_table(frame.drop(columns=name))
    if name in GATES:
        without = np.arange(len(cells)) < len(GARBAGE)
        assert answer["fat_percent"].isna().tolist() == without.tolist()
        answer, bare, kept = answer[~without], bare[~without], answer
    else:
        kept = answer
    assert_frame_equal(answer[RANGE], bare[RANGE], rtol=1e-12)
    assert (kept["flags"] == "").all()
    answer = kept
    marked = answer["problems"].str.contains(name, regex=False)
    assert marked.tolist() == [True] * len(GARBAGE) + [False] * len(BLANK)


@pytest.mark.parametrize("seed", [1, 2])
def test_random_garbage_in_every_column_at_once(seed: int) -> None:
    rng = np.random.default_rng(seed)
    frame = pd.DataFrame([row_of({})] * 120)
    cells = [*GARBAGE, *BLANK]
    for name in COLUMNS:
        chosen = [cells[place] for place in rng.integers(0, len(cells), 120)]
        frame[name] = pd.Series(chosen, dtype=object)
    answer = foldspan.reconcile_table(frame)
    bare = foldspan.reconcile_table(frame.drop(columns=list(COLUMNS)))
    may_refuse = answer["problems"].str.contains("|".join(sorted(GATES)))
    assert answer["fat_percent"].isna().tolist() == may_refuse.tolist()
    assert not may_refuse.all()
    assert_frame_equal(answer[~may_refuse][RANGE], bare[~may_refuse][RANGE], rtol=1e-12)
    assert {code[:1] for code in answer["problems"].map(codes_of).explode().dropna()} == {"E"}


@pytest.mark.parametrize("dtype", ["bool", "datetime64[ns]", "timedelta64[ns]", "category"])
def test_a_whole_column_of_another_kind(dtype: str) -> None:
    for name in NUMBERS:
        frame = pd.DataFrame([row_of({})] * 3)
        frame[name] = pd.Series([1, 0, 1]).astype("Int64").astype(int).astype(dtype)
        problems = foldspan.reconcile_table(frame)["problems"]
        assert dtype == "category" or problems.str.startswith(f"E101 {name}").all()


@pytest.mark.parametrize(
    "cell",
    [" Falls ;WEAK", "weak; falls;", ";; weak ; falls", "weak;falls;weak", "falls, weak", "weak/falls"],
)  # fmt: skip
def test_words_of_one_cell_in_any_case_and_order(cell: str) -> None:
    old = {"age_years": 70.0}
    plain = answer_of(row_of({"symptoms": ["falls", "weak"]}, old))
    assert plain["flags"][0] == "muscle_signs"
    assert_frame_equal(answer_of(row_of({}, old) | {"symptoms": cell}), plain)


def test_a_word_that_cannot_be_read_leaves_the_others() -> None:
    line = answer_of(row_of({"symptoms": ["hiccups", "fainting", "falls?"]})).iloc[0]
    assert (line["flags"], line["problems"]) == ("fainting; weakness", "E113 symptoms")
    assert np.isnan(line["fat_percent"])


@pytest.mark.parametrize("dtype", ["float32", "Int64", "string", "object"])
def test_numbers_may_have_any_storage(dtype: str) -> None:
    cells = {"blood_pressure_mmhg": (184, 93), "surgery_months_ago": 2, "earlier_weight_kg": 80}
    frame = pd.DataFrame([row_of(LOSS | cells | {"loss_wanted": True}), row_of({})])
    stored = frame.astype(dict.fromkeys(set(NUMBERS) & set(frame), dtype))
    assert_frame_equal(foldspan.reconcile_table(stored), foldspan.reconcile_table(frame))


@pytest.mark.parametrize(
    "name",
    [
        "symptom", "symptons", "medicine", "eating_concerns", "period_stopped", "birth_months",
        "surgery_months", "grip_strength_kg", "family_backgrounds",
    ],
)  # fmt: skip
def test_a_column_near_the_intake_is_not_passed_over_in_silence(name: str) -> None:
    """A misspelt column of symptoms would leave a chest pain unseen."""
    with pytest.raises((FoldspanError, UserWarning), match=name):
        foldspan.reconcile_table(pd.DataFrame([row_of({}) | {name: "chest_pain"}]))


def test_nothing_told_is_kept_in_a_repr() -> None:
    intake = LOSS | {"symptoms": ["falls"], "family_background": "chinese"}
    rows = rows_of(pd.DataFrame([row_of({}) | columns_of(intake)]))
    clients = Clients.read(rows)
    alone = intake_as_arrays(Intake(words=("falls",)), 71.362, 0.5)
    parts = (rows, clients.reported, clients, alone, SelfReported(1))
    shown = " ".join(repr(part) for part in parts)
    assert not re.search(r"71\.362|80\.125|falls|chinese|41\.375", shown)


@pytest.mark.parametrize(
    ("word", "problem"), [("steroids", "W128 medicines"), ("cortisone tablets", "")]
)
def test_an_old_word_of_two_meanings_is_read_and_said(word: str, problem: str) -> None:
    row = {"sex": "male", "age_years": 40, "weight_kg": 80.0, "height_cm": 180.0}
    table = foldspan.reconcile_table(pd.DataFrame([row | {"medicines": word}]))
    assert table["problems"].iloc[0] == problem
