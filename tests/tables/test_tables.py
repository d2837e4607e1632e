"""Tables: rows stand alone, equal the visit of the same client, and say what is wrong with them."""

from __future__ import annotations

from typing import Any

import numpy as np
import pandas as pd
import pytest
from pandas.testing import assert_frame_equal

import foldspan
from foldspan.catalogue.card import FAMILIES
from foldspan.problems import CODES, FoldspanError
from foldspan.quantities import ANCESTRIES, BY_NAME, MEASURED, SEXES
from foldspan.reference.population import reference_people
from foldspan.tables import clients

CONTRACT_COLUMNS = [
    "fat_percent",
    "fat_percent_se",
    "range_80_low",
    "range_80_high",
    "range_95_low",
    "range_95_high",
    "verdict",
    "skinfold_percent",
    "girth_percent",
    "mass_height_percent",
    "waist_height_percent",
    "equations_used",
    "flags",
    "worst_flag_level",
    "problems",
]
NUMBERS = [name for name in CONTRACT_COLUMNS if name.endswith(("percent", "se", "low", "high"))]
# where the visit file of the contract keeps each kind of measurement
SECTION_OF = {
    "mass": "mass_height",
    "height": "mass_height",
    "skinfold": "skinfolds_mm",
    "girth": "girths_cm",
    "breadth": "breadths_cm",
}


def invented(count: int, seed: int = 1) -> pd.DataFrame:
    """Women and men in turn, each with about two thirds of everything measured."""
    rng = np.random.default_rng(seed)
    half = (count + 1) // 2
    drawn = []
    for sex in SEXES:
        people = reference_people(sex)
        pick = rng.choice(people["weight_kg"].size, half, replace=False)
        rows = pd.DataFrame(
            {
                name: np.round(np.clip(people[name][pick], *BY_NAME[name].possible(sex)), 1)
                for name in MEASURED
            }
        )
        rows = rows.mask(rng.random(rows.shape) < 0.33)
        rows["sex"], rows["age_years"] = sex, np.round(people["age_years"][pick], 1)
        drawn.append(rows)
    frame = pd.concat(drawn).sample(frac=1.0, random_state=seed).head(count)
    frame["ancestry"] = rng.choice(["", *ANCESTRIES], count)
    frame["athlete"] = rng.random(count) < 0.2
    frame.index = pd.Index([f"K-{number:03d}" for number in range(count)], name="code")
    return frame


def answered(**given: Any) -> pd.DataFrame:
    """One woman of 41 with weight and height, and whatever is given instead or besides."""
    row = {"sex": "female", "age_years": 41.0, "weight_kg": 71.3, "height_cm": 168.2} | given
    return pd.DataFrame([row])


def visit_of(row: pd.Series) -> foldspan.Visit:
    """The visit file that says what a table row says, with single readings."""
    client = {
        "sex": row["sex"],
        "age_years": row["age_years"],
        "athlete": bool(row.get("athlete", False)),
    }
    if row.get("ancestry", ""):
        client["ancestry"] = row["ancestry"]
    tree: dict[str, Any] = {"client": client}
    for name in MEASURED:
        if not pd.isna(row.get(name, np.nan)):
            section = SECTION_OF[BY_NAME[name].kind]
            short = name if section == "mass_height" else BY_NAME[name].short_name
            tree.setdefault(section, {})[short] = row[name]
    return foldspan.Visit.from_dict(tree, accept_unusual=True)


def problems_of(frame: pd.DataFrame) -> str:
    return str(foldspan.reconcile_table(frame).problems.iloc[0])


def test_columns_are_exactly_those_of_the_contract() -> None:
    assert list(foldspan.reconcile_table(invented(6)).columns) == CONTRACT_COLUMNS


def test_an_empty_table_gives_an_empty_table() -> None:
    answer = foldspan.reconcile_table(invented(4).head(0))
    assert list(answer.columns) == CONTRACT_COLUMNS
    assert len(answer) == 0
    full = foldspan.reconcile_table(invented(4))
    numbers = [*NUMBERS, "equations_used"]
    assert answer[numbers].dtypes.to_dict() == full[numbers].dtypes.to_dict()


def test_index_is_kept_whatever_it_is() -> None:
    frame = invented(5)
    for index in (
        pd.Index(["K-9", "K-9", "K-1", "K-2", "K-3"], name="client"),
        pd.MultiIndex.from_product([["T-01"], range(5)]),
        pd.RangeIndex(10, 0, -2),
    ):
        answer = foldspan.reconcile_table(frame.set_axis(index))
        assert answer.index.equals(index)
        assert answer.index.names == index.names


def test_the_table_given_stays_as_it_was() -> None:
    frame = invented(20)
    before = frame.copy(deep=True)
    foldspan.reconcile_table(frame)
    assert_frame_equal(frame, before)


@pytest.mark.parametrize("reference_method", ["density", "dxa"])
def test_a_row_is_the_same_alone_and_in_a_batch(reference_method: str) -> None:
    """1e-12 of the value: sums of a hundred equations may be added in another order."""
    frame = invented(300)
    batch = foldspan.reconcile_table(frame, reference_method=reference_method)
    assert batch.fat_percent.notna().all()
    for code in frame.index[::30]:
        alone = foldspan.reconcile_table(frame.loc[[code]], reference_method=reference_method)
        assert_frame_equal(alone, batch.loc[[code]], rtol=1e-12, atol=1e-12)


def test_rows_at_a_time_change_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    frame = invented(100)
    whole = foldspan.reconcile_table(frame)
    monkeypatch.setattr(clients, "ROWS_AT_ONCE", 7)
    assert_frame_equal(foldspan.reconcile_table(frame), whole, rtol=1e-12, atol=1e-12)


def test_order_of_rows_and_columns_changes_nothing() -> None:
    frame = invented(60)
    whole = foldspan.reconcile_table(frame)
    mixed = frame.sample(frac=1.0, random_state=2).sample(frac=1.0, axis=1, random_state=3)
    answer = foldspan.reconcile_table(mixed).loc[frame.index]
    assert_frame_equal(answer[NUMBERS], whole[NUMBERS], rtol=1e-12, atol=1e-12)


@pytest.mark.parametrize(
    "options",
    [
        {},
        {"reference_method": "dxa"},
        {"conversion": "brozek1963", "with_disputed": True},
    ],
    ids=["plain", "dxa", "brozek"],
)
def test_a_row_equals_the_visit_of_the_same_client(options: dict[str, Any]) -> None:
    frame = invented(14, seed=4)
    answer = foldspan.reconcile_table(frame, **options)
    for code, row in frame.iterrows():
        result = foldspan.reconcile(visit_of(row), **options)
        fat, line = result.fat_percent, answer.loc[code]
        assert fat.range_80 is not None
        assert fat.range_95 is not None
        expected = [fat.estimate, fat.se, *fat.range_80, *fat.range_95]
        families = {family.method: family.estimate for family in result.methods}
        expected += [families.get(family, np.nan) for family in FAMILIES]
        np.testing.assert_allclose(line[NUMBERS].to_numpy(dtype=float), expected, rtol=1e-10)
        assert line["verdict"] == result.verdict
        assert line["equations_used"] == sum(equation.used for equation in result.equations)


UNUSUAL = {"weight_kg": 78.0, "height_cm": 165.0, "waist_iliac_cm": 140.0}


@pytest.mark.parametrize(
    ("given", "expected"),
    [
        ({}, ""),
        ({"sex": None}, "E111 sex"),
        ({"sex": " "}, "E111 sex"),
        ({"sex": "x"}, "E113 sex"),
        ({"age_years": np.nan}, "E112 age_years"),
        ({"age_years": None}, "E112 age_years"),
        ({"age_years": 17.9}, "E201"),
        ({"age_years": 130.0}, "E102 age_years"),
        ({"age_years": -3.0}, "E107 age_years"),
        ({"age_years": "forty"}, "E101 age_years"),
        ({"pregnant": True}, "E202"),
        ({"pregnant": "yes"}, "E202"),
        ({"pregnant": "perhaps"}, "E113 pregnant"),
        ({"athlete": "sometimes"}, "E113 athlete"),
        ({"ancestry": "martian"}, "E113 ancestry"),
        ({"weight_kg": np.nan}, "E203"),
        ({"triceps_mm": 300.0}, "E102 triceps_mm"),
        ({"triceps_mm": 0.0}, "E107 triceps_mm"),
        ({"triceps_mm": -2.0}, "E107 triceps_mm"),
        ({"triceps_mm": np.inf}, "E106 triceps_mm"),
        ({"triceps_mm": "thick"}, "E101 triceps_mm"),
        ({"triceps_mm": "21,22"}, "E108 triceps_mm"),
        ({"triceps_mm": "21 bananas"}, "E104 triceps_mm"),
        ({"triceps_mm": "21 kg"}, "E105 triceps_mm"),
        ({"triceps_mm": True}, "E101 triceps_mm"),
        ({"neck_cm": 22.0}, "W103 neck_cm"),
        (
            {"weight_kg": 390.0, "height_cm": 140.0},
            "W103 weight_kg; E102 weight_kg, height_cm; E203",
        ),
        (UNUSUAL, "W123 weight_kg, height_cm"),
    ],
)
def test_a_row_says_what_is_wrong_with_it(given: dict[str, Any], expected: str) -> None:
    assert problems_of(answered(**given)) == expected
    codes = [part.split()[0] for part in expected.split("; ") if part]
    assert set(codes) <= set(CODES)


@pytest.mark.parametrize("site", ["waist_iliac_cm", "waist_midpoint_cm", "abdomen_navel_cm"])
def test_an_odd_waist_is_asked_back_at_whichever_site_it_was_taken(site: str) -> None:
    """As for a visit: the first waist of the client, not of the table, is held against weight."""
    row = answered(weight_kg=78.0, height_cm=165.0, **{site: 140.0})
    other = answered(
        weight_kg=71.3, waist_iliac_cm=86.0, waist_midpoint_cm=84.0, abdomen_navel_cm=88.0
    )
    answer = foldspan.reconcile_table(pd.concat([row, other], ignore_index=True))
    assert answer.problems.tolist() == ["W123 weight_kg, height_cm", ""]


@pytest.mark.parametrize("given", [{"age_years": 12.0}, {"pregnant": True}, {"sex": None}])
def test_who_must_not_get_a_range_gets_none(given: dict[str, Any]) -> None:
    line = foldspan.reconcile_table(answered(waist_iliac_cm=86.0, triceps_mm=21.0, **given)).iloc[0]
    assert line[NUMBERS].isna().all()
    assert line["verdict"] == ""
    assert line["equations_used"] == 0


@pytest.mark.parametrize("bad", [300.0, -1.0, np.inf, "thick", "21,22", "9 kg"])
def test_a_value_that_cannot_be_used_is_left_out_and_the_rest_counts(bad: Any) -> None:
    rest = {"waist_iliac_cm": 86.0, "subscapular_mm": 16.0}
    without = foldspan.reconcile_table(answered(**rest))
    answer = foldspan.reconcile_table(answered(triceps_mm=bad, **rest))
    assert_frame_equal(answer[CONTRACT_COLUMNS[:-1]], without[CONTRACT_COLUMNS[:-1]])
    assert "triceps_mm" in answer.problems[0]
    used = foldspan.reconcile_table(answered(triceps_mm=21.0, **rest))
    assert used.fat_percent[0] != without.fat_percent[0]


def test_one_bad_row_leaves_the_others_alone() -> None:
    frame = invented(40)
    good = foldspan.reconcile_table(frame)
    frame.iloc[3, frame.columns.get_loc("weight_kg")] = 9_999.0
    frame.iloc[7, frame.columns.get_loc("age_years")] = 12.0
    answer = foldspan.reconcile_table(frame)
    others = [row for row in range(40) if row not in (3, 7)]
    assert_frame_equal(answer.iloc[others], good.iloc[others], rtol=1e-12)


@pytest.mark.parametrize(
    "texts",
    [
        {"weight_kg": "71300 g", "height_cm": "1.682 m"},
        {"weight_kg": "157.1895929 lb", "height_cm": "66.22047244 in"},
        {"weight_kg": " 71.3 ", "height_cm": "1682 mm", "age_years": "41 years"},
    ],
)
def test_texts_with_units_count_as_their_numbers(texts: dict[str, str]) -> None:
    """International pound and inch (1959), typed to ten digits: equal to about 1e-8."""
    plain = foldspan.reconcile_table(answered(triceps_mm="2.1 cm"))
    answer = foldspan.reconcile_table(answered(triceps_mm=21, **texts))
    assert_frame_equal(answer, plain, rtol=1e-7)


@pytest.mark.parametrize(
    "missing", [None, np.nan, pd.NA, "", "  "], ids=["None", "nan", "NA", "empty", "blank"]
)
def test_missing_values_of_every_kind_are_missing(missing: Any) -> None:
    frame = pd.concat(
        [answered(triceps_mm="21 mm"), answered(triceps_mm=missing)], ignore_index=True
    )
    frame["pregnant"] = [False, missing]
    frame["ancestry"] = ["", missing]
    answer = foldspan.reconcile_table(frame)
    assert answer.problems.tolist() == ["", ""]
    plain = foldspan.reconcile_table(answered())
    assert answer.fat_percent[1] == pytest.approx(plain.fat_percent[0], rel=1e-12)


@pytest.mark.parametrize("dtype", ["float32", "Float64", "string", "category", "object"])
def test_columns_may_have_any_storage(dtype: str) -> None:
    frame = pd.concat(
        [answered(waist_iliac_cm=86.5), answered(waist_iliac_cm=None)], ignore_index=True
    )
    plain = foldspan.reconcile_table(frame)
    stored = frame.astype({"waist_iliac_cm": dtype, "sex": "category"})
    stored["age_years"] = stored["age_years"].astype("Int64")
    assert_frame_equal(foldspan.reconcile_table(stored), plain)


def test_words_are_read_in_any_case() -> None:
    plain = foldspan.reconcile_table(answered(ancestry="black", pregnant="no"))
    answer = foldspan.reconcile_table(answered(sex=" Female", ancestry="Black", pregnant="False"))
    assert_frame_equal(answer, plain)


@pytest.mark.parametrize(
    ("frame", "codes"),
    [
        ({"sex": ["female"]}, ["E404"]),
        (None, ["E404"]),
        (answered().iloc[0], ["E404"]),
        (answered().drop(columns="sex"), ["E401"]),
        (answered().drop(columns="age_years"), ["E401"]),
        (pd.concat([answered(), answered()[["weight_kg"]]], axis=1), ["E403"]),
        (answered(suprailiac_mm=18.0), ["E114"]),
        (answered(suprailiac=18.0), ["E114"]),
        (answered().drop(columns=["weight_kg", "height_cm"]), ["E120"]),
        (pd.DataFrame(), ["E401", "E401", "E120"]),
        (answered(suprailiac_mm=18.0).drop(columns=["sex"]), ["E401", "E114"]),
    ],
)
def test_a_table_that_cannot_be_read_says_everything_at_once(frame: Any, codes: list[str]) -> None:
    with pytest.raises(FoldspanError) as caught:
        foldspan.reconcile_table(frame)
    assert [problem.code for problem in caught.value.problems] == codes


@pytest.mark.parametrize("options", [{"reference_method": "mri"}, {"conversion": "nobody1900"}])
def test_an_unknown_option_is_refused(options: dict[str, str]) -> None:
    with pytest.raises(FoldspanError) as caught:
        foldspan.reconcile_table(answered(), **options)
    assert [problem.code for problem in caught.value.problems] == ["E501"]


def test_a_misspelt_measurement_is_not_passed_over_in_silence() -> None:
    with pytest.warns(UserWarning, match=r"tricep_mm.*\[W402\]"):
        foldspan.reconcile_table(answered(tricep_mm=21.0))


def test_other_columns_may_stand_in_the_table() -> None:
    """Codes, notes and reference values are not measurements: no warning (warnings are errors)."""
    extra = answered(note="K-014", reference_fat_percent=30.0, reference_method="dxa")
    assert_frame_equal(foldspan.reconcile_table(extra), foldspan.reconcile_table(answered()))
