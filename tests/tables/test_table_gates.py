"""Whatever gates a range and cannot be read, or contradicts its row, withholds the range."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest
from pandas.testing import assert_frame_equal

import foldspan
from foldspan.intake.refusals import GATES
from foldspan.problems import FoldspanError
from foldspan.standards.intake_vocabulary import ALL_WORDS
from foldspan.standards.referral_rules import REFUSALS
from foldspan.text.screen import WHY_NO_RANGE, why_no_range

ROW: dict[str, Any] = {
    "sex": "female", "age_years": 41.375, "weight_kg": 71.362, "height_cm": 168.274,
    "waist_midpoint_cm": 78.437,
}  # fmt: skip


def answer_of(**cells: Any) -> pd.Series:
    frame = pd.DataFrame([ROW | cells])
    line = foldspan.reconcile_table(frame).iloc[0]
    assert np.isfinite(line["fat_percent"]) or line["problems"], "no range and no reason"
    return line


def codes(line: pd.Series) -> list[str]:
    return line["problems"].split("; ") if line["problems"] else []


def flags(line: pd.Series) -> list[str]:
    return line["flags"].split("; ") if line["flags"] else []


def has_range(line: pd.Series) -> bool:
    return bool(np.isfinite(line["fat_percent"]))


# --- a birth, a pregnancy, words ---------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "problem"),
    [
        ("6 weeks", "E204"), ("3 weeks", "E204"), ("10 days", "E204"), ("3 Wochen", "E204"),
        ("5 mois", "E204"), ("yes", "E101 birth_months_ago"), ("recently", "E101 birth_months_ago"),
        ("3 moons", "E104 birth_months_ago"), ("-1", "E102 birth_months_ago"),
        ("3 kg", "E105 birth_months_ago"),
    ],
)  # fmt: skip
def test_a_birth_is_read_in_weeks_or_withholds_the_range(typed: str, problem: str) -> None:
    line = answer_of(birth_months_ago=typed)
    assert (has_range(line), codes(line)) == (False, [problem])


@pytest.mark.parametrize("typed", ["7 months", "40 weeks", "2 years", "no", "never", "nein", ""])
def test_a_birth_long_ago_or_none_bars_nothing(typed: str) -> None:
    line = answer_of(birth_months_ago=typed)
    assert (has_range(line), codes(line)) == (True, [])


def test_a_column_may_tell_weeks_by_its_name() -> None:
    assert codes(answer_of(birth_weeks_ago=25)) == ["E204"]
    assert codes(answer_of(birth_weeks_ago=27)) == []  # six months are 26.1 weeks


@pytest.mark.parametrize("months", [None, "6 weeks", 42.0 * 12.0 / 365.25])
def test_weeks_are_read_in_a_visit_file_too(months: object) -> None:
    intake = {} if months is None else {"birth_months_ago": months}
    tree = {
        "client": {"sex": "female", "age_years": 31},
        "mass_height": {"weight_kg": 70.3, "height_cm": 168.4},
        "intake": intake,
    }
    result = foldspan.reconcile(foldspan.Visit.from_dict(tree))
    assert [problem.code for problem in result.problems] == ([] if months is None else ["E204"])


@pytest.mark.parametrize("name", ["conditions", "symptoms"])
@pytest.mark.parametrize(
    "word", ["pregnant", "Pregnancy", "schwanger", "she is pregnant", "expecting"]
)
def test_a_pregnancy_told_among_conditions_or_symptoms_bars_the_range(name: str, word: str) -> None:
    line = answer_of(**{name: word})
    assert (has_range(line), codes(line)) == (False, ["E202"])


@pytest.mark.parametrize("name", ["conditions", "symptoms"])
@pytest.mark.parametrize(
    "text",
    ["hiccups", "?", "see file", "family history of diabetes", "nephritic something", "x" * 5000],
)
def test_what_is_not_understood_may_mean_a_refusal(name: str, text: str) -> None:
    line = answer_of(**{name: text})
    assert (has_range(line), codes(line)) == (False, [f"E113 {name}"])


@pytest.mark.parametrize(
    "text",
    ["none", "asthma", "Migraine; hay fever", "no oedema", "not pregnant", "denies swelling", "keine",
     "back pain, tired", "no amputation", "healthy", "-", "no dizziness, no swelling", "NKDA",
     "Patient has a history of hypertension, well controlled"],
)  # fmt: skip
def test_what_bars_nothing_is_understood_as_well(text: str) -> None:
    cells = pd.DataFrame([ROW | {"conditions": text if text != "-" else None}])
    line = foldspan.reconcile_table(cells).iloc[0]
    assert (has_range(line), codes(line)) == (True, [])


@pytest.mark.parametrize(
    ("text", "flag"),
    [
        ("hypertension", ""), ("T2DM", ""), ("suicidal", "self_harm"), ("chest pain", "heart_signs"),
        ("has had chest pain", "heart_signs"), ("Brustschmerzen", "heart_signs"),
        ("no chest pain", ""), ("denies chest pain", ""), ("chest pain: no", ""),
        ("keine Brustschmerzen", ""), ("chest pain denied", ""),
    ],
)  # fmt: skip
def test_everyday_words_are_read_and_a_no_is_no_yes(text: str, flag: str) -> None:
    line = answer_of(symptoms=text)
    assert (flags(line), has_range(line)) == ([flag] if flag else [], True)


@pytest.mark.parametrize(
    ("text", "problem"),
    [("edema", "E206"), ("amputation", "E205"), ("Dialyse", "E206"), ("swollen ankles", "E206")],
)
def test_everyday_words_of_a_refusal_refuse(text: str, problem: str) -> None:
    assert codes(answer_of(conditions=text)) == [problem]


@pytest.mark.parametrize("word", sorted(ALL_WORDS))
def test_every_word_may_have_a_column_of_its_own(word: str) -> None:
    """A column "Chest pain" with a yes says what the list would say."""
    name = word.replace("_", " ").capitalize()
    own, listed = answer_of(**{name: "yes"}), answer_of(symptoms=word)
    assert (own["flags"], own["problems"]) == (listed["flags"], listed["problems"])
    assert (answer_of(**{name: "no"})["flags"], codes(answer_of(**{name: "no"}))) == ("", [])
    bars = any(word in refusal.intake_words for refusal in REFUSALS)
    doubtful = answer_of(**{name: "perhaps"})
    assert (has_range(doubtful), codes(doubtful)) == (not bars, [f"E113 {word}"])


@pytest.mark.parametrize(
    ("cells", "problems"),
    [
        ({"weeks_pregnant": "14"}, ["E202"]), ({"weeks_pregnant": 2.0}, ["E202"]),
        ({"weeks_pregnant": "second"}, ["E113 weeks_pregnant"]), ({"weeks_pregnant": 0}, []),
        ({"weeks_pregnant": "no"}, []), ({"pregnant": "ja"}, ["E202"]), ({"pregnant": "nein"}, []),
        ({"pregnant": "SSW 14"}, ["E202"]), ({"pregnant": "3rd trimester"}, ["E202"]),
        ({"pregnant": "20 weeks"}, ["E202"]), ({"pregnant": "possibly"}, ["E113 pregnant"]),
        ({"weeks_pregnant": "14+3"}, ["E202"]), ({"pregnant": "not pregnant"}, []),
        ({"pregnant": "2"}, ["E113 pregnant"]), ({"pregnant": "x"}, ["E202"]),
        ({"pregnant": "no", "weeks_pregnant": 12}, ["E125 weeks_pregnant", "E202"]),
        ({"pregnant": "no", "conditions": "pregnant"}, ["E202"]),
    ],
)  # fmt: skip
def test_a_pregnancy_is_read_or_withholds_the_range(
    cells: dict[str, Any], problems: list[str]
) -> None:
    line = answer_of(**cells)
    assert (codes(line), has_range(line)) == (problems, not problems)


# --- two statements of one thing ---------------------------------------------------------------------


@pytest.mark.parametrize("born", ["2012-05-01", "01.05.2012", "1/5/2012", "2012", "May 1, 2012"])
@pytest.mark.parametrize("day", ["", "2026-02-03"])
def test_an_adult_age_beside_the_birth_date_of_a_child_gives_no_range(born: str, day: str) -> None:
    line = answer_of(age_years=45, birth_date=born, date=day)
    assert (has_range(line), codes(line)) == (False, ["E119 age_years"])


@pytest.mark.parametrize("with_day", [True, False])
def test_an_age_and_a_birth_date_that_contradict_each_other_stop_a_visit(with_day: bool) -> None:
    tree: dict[str, Any] = {
        "client": {"sex": "female", "age_years": 45, "birth_date": "2012-05-01"},
        "mass_height": {"weight_kg": 70.3, "height_cm": 168.4},
    }
    tree |= {"visit": {"date": "2026-02-03"}} if with_day else {}
    with pytest.raises(FoldspanError) as caught:
        foldspan.Visit.from_dict(tree)
    assert [problem.code for problem in caught.value.problems] == ["E119"]


def test_an_age_comes_from_two_dates_as_in_a_visit_file() -> None:
    born, day = "1984-09-17", "2026-02-03"
    tree: dict[str, Any] = {
        "client": {"sex": "female", "birth_date": born}, "visit": {"date": day},
        "mass_height": {"weight_kg": ROW["weight_kg"], "height_cm": ROW["height_cm"]},
        "girths_cm": {"waist_midpoint": ROW["waist_midpoint_cm"]},
    }  # fmt: skip
    fat = foldspan.reconcile(foldspan.Visit.from_dict(tree)).fat_percent
    for age in ({"age_years": None}, {"age_years": 41}):
        line = answer_of(birth_date=born, date=day, **age)
        assert (line["fat_percent"], line["fat_percent_se"]) == (fat.estimate, fat.se)
    frame = pd.DataFrame([ROW | {"birth_date": pd.Timestamp(born), "date": date(2026, 2, 3)}])
    assert foldspan.reconcile_table(frame)["fat_percent"][0] == fat.estimate
    assert (
        foldspan.reconcile_table(frame.drop(columns="age_years"))["fat_percent"][0] == fat.estimate
    )


@pytest.mark.parametrize(
    ("cells", "problem"),
    [
        ({"birth_date": "somewhen"}, "E117 birth_date"),
        ({"birth_date": "2999-01-01"}, "E118 birth_date"),
        ({"birth_date": "1850-01-01"}, "E102 birth_date"),
        ({"birth_date": "1984-09-17", "age_years": None}, "E112 age_years"),
    ],
)  # fmt: skip
def test_other_statements_that_cannot_be_withhold_the_range(
    cells: dict[str, Any], problem: str
) -> None:
    line = answer_of(**cells)
    assert (has_range(line), codes(line)) == (False, [problem])


def test_a_word_that_is_denied_in_its_own_column_counts_and_is_asked_back() -> None:
    line = answer_of(symptoms="chest pain", chest_pain="no")
    assert (flags(line), codes(line)) == (["heart_signs"], ["E125 chest_pain"])


# --- blood pressure and weight as a visit file tells them ---------------------------------------------


@pytest.mark.parametrize(
    ("cells", "flag", "problem"),
    [
        ({"blood_pressure_mmhg": "142/91"}, "pressure_raised", ""),
        ({"blood_pressure_mmhg": "185 / 95 mmHg"}, "pressure_very_high", ""),
        ({"blood_pressure_mmhg": "185/"}, "pressure_very_high", ""),
        ({"blood_pressure_mmhg": "121/78"}, "", ""),
        ({"blood_pressure_mmhg": "high"}, "", "E101 blood_pressure_mmhg"),
        ({"blood_pressure_mmhg": "742/91"}, "", "E102 blood_pressure_mmhg"),
        ({"blood_pressure_mmhg": "91/142"}, "", "E125 blood_pressure_lower_mmhg"),
        ({"blood_pressure_mmhg": "121/78", "blood_pressure_upper_mmhg": 185}, "pressure_very_high",
         "E125 blood_pressure_upper_mmhg"),
        ({"weight_lost_kg": 9.9, "earlier_weight_months_ago": 5, "loss_wanted": "no"}, "loss_fast", ""),
        ({"earlier_weight_kg": 81.4, "earlier_weight_date": "2026-01-03", "date": "2026-06-03",
          "loss_wanted": "no"}, "loss_fast", ""),
        ({"earlier_weight_kg": 79.6, "weight_lost_kg": 2, "earlier_weight_months_ago": 5,
          "loss_wanted": "no"}, "", "E125 weight_lost_kg"),
    ],
)  # fmt: skip
def test_the_names_of_a_visit_file_are_read(cells: dict[str, Any], flag: str, problem: str) -> None:
    line = answer_of(**cells)
    assert (flags(line), codes(line)) == ([flag] if flag else [], [problem] if problem else [])


# --- without a sex -----------------------------------------------------------------------------------


@pytest.mark.parametrize("sex", ["", "divers", "2"])
@pytest.mark.parametrize(
    ("cells", "flag"),
    [
        # 46.7 and 51.9: from 40 on (NICE NG246 2025, class 3)
        ({"weight_kg": 132.24}, "bmi_very_far_above"), ({"weight_kg": 146.96}, "bmi_very_far_above"),
        ({"weight_kg": 43.0, "waist_midpoint_cm": 60}, "bmi_severely_low"),
        ({"weight_kg": 82, "waist_midpoint_cm": 108}, "waist_six_tenths"),
        ({"weight_kg": 90, "conditions": "diabetes"}, "weight_with_signs"),
    ],
)  # fmt: skip
def test_what_needs_no_sex_is_judged_without_it(sex: str, cells: dict[str, Any], flag: str) -> None:
    line = answer_of(sex=sex, **cells)
    assert flag in flags(line)
    assert not has_range(line)


@pytest.mark.parametrize("grip", [15.0, 20.0])
def test_what_goes_by_the_sex_counts_only_where_it_would_for_either(grip: float) -> None:
    """Weak grip: below 16 kg in women, 27 kg in men (EWGSOP2 2019)."""
    line = answer_of(sex="", age_years=70, grip_kg=grip)
    assert ("muscle_signs" in flags(line)) == (grip < 16.0)


def test_a_weight_is_held_against_its_span_without_a_sex() -> None:
    assert codes(answer_of(sex="", weight_kg=713.62)) == ["E111 sex", "E102 weight_kg"]


# --- every reason is told ----------------------------------------------------------------------------


def test_every_gate_has_its_words_in_the_summary() -> None:
    from foldspan.tables.findings import Mark

    for name in GATES:
        key = why_no_range((Mark("E113", name),))
        assert key in WHY_NO_RANGE
        assert key != "E203", name


def test_the_summary_asks_to_read_rows_that_lack_what_rules_rest_on(tmp_path: Path) -> None:
    table = tmp_path / "in.csv"
    table.write_text(
        "code,sex,age_years,weight_kg,height_cm,symptoms\n"
        "K-01,,41,71.3,168,\nK-02,female,41,71.3,168,hiccups\nK-03,female,41,71.3,168,\n"
    )
    done = foldspan.screen_table(str(table), str(tmp_path / "out.csv"))
    assert (done.unread[0], done.unread_rows) == (2, (1, 2))


# --- the table itself --------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["medicines", "periods_stopped", "grip_kg", "family_background"])
def test_bytes_that_are_no_text_lose_no_table(name: str) -> None:
    answer = foldspan.reconcile_table(pd.DataFrame([ROW, ROW | {name: b"\xff\xfe"}]))
    assert answer["fat_percent"].notna().all()
    assert [name in cell for cell in answer["problems"]] == [False, True]


def test_index_is_kept_and_the_table_stays_as_it_was() -> None:
    frame = pd.DataFrame(
        [ROW | {"symptoms": word} for word in ("", "falls", "hiccups", "fever", "?")]
    )
    for index in (
        pd.Index(["K-9", "K-9", "K-1", "K-2", "K-3"], name="client"),
        pd.MultiIndex.from_product([["T-01"], range(5)]),
        pd.RangeIndex(10, 0, -2),
    ):
        given = frame.set_axis(index)
        before = given.copy(deep=True)
        assert foldspan.reconcile_table(given).index.equals(index)
        assert_frame_equal(given, before)


@pytest.mark.parametrize(
    ("cell", "flag", "problem"),
    [
        ("185", "pressure_very_high", "E120 blood_pressure_mmhg"),
        ("130/80; 185/95", "pressure_very_high", ""),
        ("130/80, 150/85", "pressure_raised", ""),
        ("24.7/12.7 kPa", "", "E101 blood_pressure_mmhg"),
    ],
)
def test_of_several_pressures_the_highest_counts(cell: str, flag: str, problem: str) -> None:
    line = answer_of(blood_pressure_mmhg=cell)
    assert (flags(line), codes(line)) == ([flag] if flag else [], [problem] if problem else [])


def test_rows_without_a_size_are_named_in_the_summary(tmp_path: Path) -> None:
    """Neither is wrong with the cell, but nobody has looked at the body mass index."""
    table = tmp_path / "in.csv"
    table.write_text(
        "sex,age_years,weight_kg,height_cm\nf,41,,168\nf,41,71,\nf,41,n/a,n/a\nf,41,71,168\nf,41,7,168\n"
    )
    done = foldspan.screen_table(str(table), str(tmp_path / "out.csv"))
    assert (done.unread[0], done.unread_rows) == (4, (1, 2, 3, 5))
    assert done.unread[1] == {"E102 weight_kg": 1, "no weight or height": 3}
    (tmp_path / "girths.csv").write_text("sex,age_years,hip_cm,waist_midpoint_cm\nf,41,101,78\n")
    other = foldspan.screen_table(str(tmp_path / "girths.csv"), str(tmp_path / "out2.csv"))
    assert other.unread[0] == 0  # said once of the whole table


@pytest.mark.parametrize("name", ["pregnant", "birth_months_ago", "dialysis", "birth_date"])
def test_a_row_that_loses_its_range_is_told_so(tmp_path: Path, name: str) -> None:
    table, out = tmp_path / "in.csv", tmp_path / "out.csv"
    table.write_text(f"sex,age_years,weight_kg,height_cm,{name}\nf,41,71,168,perhaps\n")
    foldspan.screen_table(str(table), str(out))
    assert "no range" in out.read_text().splitlines()[1]


def test_a_row_without_a_sex_has_its_band_of_body_mass_index(tmp_path: Path) -> None:
    """The classes of the WHO (2000) are the same for both sexes; a sum by sex takes no such row in."""
    table, out = tmp_path / "in.csv", tmp_path / "out.csv"
    body = "41,71.3,168.2"  # 25.2: from 25 on
    lines = [
        f"female,{body},",
        f",{body},",
        f"divers,{body},",
        f",{body},hiccups",
        ",15,71.3,168.2,",
    ]
    table.write_text("\n".join(["sex,age_years,weight_kg,height_cm,symptoms", *lines, ""]))
    done = foldspan.screen_table(str(table), str(out))
    answer = pd.read_csv(out)
    known = answer["bmi_band"][0]
    assert answer["bmi_band"].fillna("").tolist() == [known, known, known, "", ""]
    assert sum(band.people for band in done.bands["bmi"]["female"].values()) == pytest.approx(1.0)
