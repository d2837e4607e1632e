"""Outside results: sums done by hand, places on the range, joining, and what a file may not say.

The scale step (3.0 points; one person's ± 2.5 down, ± 2.4 up) and the methods' errors are typed again
here from docs/method.md and docs/explain.md. Sums and weights are hand computation.
"""

from __future__ import annotations

from dataclasses import astuple
from datetime import date
from itertools import permutations
from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from foldspan import FoldspanError, Visit, reconcile
from foldspan.catalogue.card import FAMILIES
from foldspan.estimation.settings import settings_for
from foldspan.explanation.what_if import Case
from foldspan.external.combine import REMARKS, OutsideResult, Placed, place
from foldspan.external.consistency import Sheet, check_sheet
from foldspan.protocol.outside_methods import OUTSIDE_METHODS
from foldspan.results.case_of_visit import case_of, placed_outside
from foldspan.results.explanation import placed_tree
from foldspan.text.explain import REMARK_SENTENCES, outside_sentences, sheet_sentences

DENSITY, DXA = settings_for("density", "siri1961"), settings_for("dxa", "siri1961")
DAY = "2026-03-10"
# method → scale, error [points]; docs/explain.md
METHODS = {
    "dxa": ("dxa", 1.5), "underwater_weighing": ("density", 2.4),
    "air_displacement": ("density", 2.4), "bioimpedance": ("", 4.5),
    "other_callipers": ("density", 4.5), "unknown": ("", 6.0),
}  # fmt: skip
STEP, STEP_SD, NO_SCALE_SD = 3.0, {"density": 2.5, "dxa": 2.4}, 3.0
NUMBERS = ("fat_percent", "fat_mass", "fat_free_mass", "weight")
Z80, Z95 = 1.2815515655, 1.9599639845  # normal quantiles, any table
STRAINED = 2.7055  # chi-square, one degree of freedom, 10 %; some tables have 2.706


def tree(*outside: dict[str, Any], **visit: Any) -> dict[str, Any]:
    """An invented visit of 84.6 kg with results from elsewhere."""
    return {
        "client": {"code": "K-076", "sex": "male", "age_years": 37},
        "visit": {"date": DAY, **visit},
        "mass_height": {"weight_kg": 84.6, "height_cm": 181.0},
        "skinfolds_mm": {"chest": [12.0, 12.5], "abdominal": [22.0, 23.0], "thigh": [15.0, 15.5]},
        "girths_cm": {"neck": 38.5, "abdomen_navel": [90.2, 90.6], "hip": 101.0},
        "outside_results": list(outside),
    }


def entry(method: str, percent: float, **more: Any) -> dict[str, Any]:
    return {"method": method, "date": DAY, "fat_percent": percent, "weight_kg": 84.6, **more}


def placed(*outside: dict[str, Any]) -> tuple[Placed, ...]:
    visit = Visit.from_dict(tree(*outside))
    return placed_outside(visit, case_of(visit, DENSITY))


def joined(*outside: dict[str, Any]) -> tuple[float, float]:
    fat = reconcile(Visit.from_dict(tree(*outside)), include_outside=True).fat_percent
    assert fat.estimate is not None
    assert fat.se is not None
    return fat.estimate, fat.se


# does a sheet add up? -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("sheet", "out", "should_be"),
    [  # 25 % of 80 kg are 20 kg; 20 and 60 are 80
        (Sheet(35.0, 20.0, 60.0, 80.0), "fat_percent", 25.0),
        (Sheet(25.0, 26.0, 60.0, 80.0), "fat_mass", 20.0),
        (Sheet(25.0, 20.0, 50.0, 80.0), "fat_free_mass", 60.0),
        (Sheet(25.0, 20.0, 60.0, 88.0), "weight", 80.0),
        (Sheet(25.0, 20.0, 60.0, 176.4), "weight", 80.0),  # pounds among kilograms
        (Sheet(25.0, 44.1, 60.0, 80.0), "fat_mass", 20.0),
        # 86.6 of 177.2 kg are 48.9 % and leave 90.6 or 90.7: the sheet is sound but for the 77.6
        (Sheet(48.9, 77.6, 90.7, 177.2), "fat_mass", 86.5),
    ],
)
def test_the_one_wrong_number_is_named_with_the_value_that_mends(
    sheet: Sheet, out: str, should_be: float
) -> None:
    check = check_sheet(sheet)
    assert check.adds_up is False
    assert check.out == out
    assert check.should_be == pytest.approx(should_be, abs=0.2)
    assert f"{check.should_be:.1f}" in " ".join(sheet_sentences(check)).split(NAMED)[1]


NAMED = "is wrong, it is this one:"
# two wrong; fat and lean exchanged; of three numbers any one may be wrong
UNCLEAR = (
    Sheet(25.0, 26.0, 60.0, 88.0), Sheet(31.0, 20.0, 55.0, 80.0), Sheet(25.0, 60.0, 20.0, 80.0),
    Sheet(25.0, 20.0, None, 90.0), Sheet(None, 20.0, 60.0, 90.0), Sheet(30.0, 20.0, 60.0, None),
    Sheet(30.0, None, 60.0, 80.0),
)  # fmt: skip


@pytest.mark.parametrize("sheet", UNCLEAR)
def test_where_no_single_number_is_to_blame_none_is_named(sheet: Sheet) -> None:
    check = check_sheet(sheet)
    assert (check.adds_up, check.out, check.should_be) == (False, "", None)
    assert NAMED not in " ".join(sheet_sentences(check))


@pytest.mark.parametrize("missing", range(4))
def test_what_is_missing_follows_from_the_others(missing: int) -> None:
    numbers: list[float | None] = [25.0, 20.0, 60.0, 80.0]
    numbers[missing] = None
    check = check_sheet(Sheet(*numbers))
    assert check.adds_up is True
    assert astuple(check.filled) == pytest.approx((25.0, 20.0, 60.0, 80.0))
    numbers[(missing + 1) % 4] = None
    check = check_sheet(Sheet(*numbers))  # of two there is nothing to hold against each other
    assert check.adds_up is None
    assert astuple(check.filled) == pytest.approx((25.0, 20.0, 60.0, 80.0))


def test_bone_mineral_that_is_listed_apart_is_no_fault() -> None:
    """60.8 + 20.3 lack 3.2 of 84.3 kg, 3.8 %: adults have 1.5 to 4 kg, 3 to 5 % (not verified)."""
    check = check_sheet(Sheet(24.1, 20.3, 60.8, 84.3))
    assert check.may_be_bone
    assert check.missing_kg == pytest.approx(3.2)
    assert "bone mineral" in " ".join(sheet_sentences(check))
    assert NAMED not in " ".join(sheet_sentences(check))
    sheet = {"fat_percent": 24.1, "fat_mass_kg": 20.3, "fat_free_mass_kg": 60.8, "weight_kg": 84.3}
    (placing,) = placed({"method": "dxa", "date": DAY, **sheet})
    assert placing.may_join
    assert "does_not_add_up" not in placing.remarks
    assert placed_tree(placing)["out"] is None or placed_tree(placing)["may_be_bone"]
    # 9 kg are no skeleton, nor is half a kilogram, nor 3 kg too much
    for lean in (55.0, 63.5, 67.0):
        assert not check_sheet(Sheet(24.1, 20.3, lean, 84.3)).may_be_bone


def sheet_of(weight: float, share: float, unit: float = 1.0) -> dict[str, float]:
    """A sound sheet as it is printed: percent to 0.1, masses to 0.1 of a unit."""
    masses = {"fat_mass": weight * share, "fat_free_mass": weight * (1.0 - share), "weight": weight}
    printed = {name: round(mass / unit, 1) * unit for name, mass in masses.items()}
    return {"fat_percent": round(100.0 * share, 1)} | printed


@given(
    st.floats(40.0, 200.0), st.floats(0.02, 0.70), st.sampled_from(["", *NUMBERS]), st.booleans()
)
@settings(max_examples=400, deadline=None, derandomize=True)
def test_rounding_to_one_decimal_is_never_accused(
    weight: float, share: float, left_out: str, in_pounds: bool
) -> None:
    """Masses printed to 0.1 kg, or to 0.1 lb and turned into kilograms (0.45359237, 1959)."""
    printed = sheet_of(weight, share, 0.45359237 if in_pounds else 1.0)
    printed.pop(left_out, None)
    assert check_sheet(Sheet(**printed)).adds_up is True


@given(st.floats(45.0, 120.0), st.floats(0.08, 0.6), st.sampled_from(NUMBERS), st.floats(6.0, 20.0))
@settings(max_examples=300, deadline=None, derandomize=True)
def test_one_gross_slip_in_a_sound_sheet_is_named(
    weight: float, share: float, name: str, slip: float
) -> None:
    """Six points or kilograms too much are more than rounding and than bone can make of any number."""
    printed = sheet_of(weight, share)
    check = check_sheet(Sheet(**printed | {name: printed[name] + slip}))
    assume(not check.exchanged)  # by chance, fat and lean in each other's place would do as well
    assert (check.adds_up, check.out) == (False, name)
    assert check.should_be == pytest.approx(printed[name], abs=0.3)


def test_nothing_that_follows_from_a_sheet_is_impossible() -> None:
    """Fat above weight contradicts itself with two numbers already: no mass below zero is filled in."""
    check = check_sheet(Sheet(fat_mass=60.0, weight=50.0))
    assert (check.filled.fat_free_mass or 0.0) >= 0.0
    assert (check.filled.fat_percent or 0.0) <= 100.0


# against the range ----------------------------------------------------------------------------------


def test_methods_are_those_of_the_docs() -> None:
    assert {x.key: (x.reference_method, x.error) for x in OUTSIDE_METHODS} == METHODS


def moved(method: str, stated: str) -> tuple[float, float]:
    """Points to add, and the error there: by hand."""
    own, error = METHODS[method]
    if not own:
        return 0.0, float(np.hypot(error, NO_SCALE_SD))
    if own == stated:
        return 0.0, error
    return (STEP if stated == "dxa" else -STEP), float(np.hypot(error, STEP_SD[stated]))


def shared(case: Case, method: str) -> float:
    """Covariance with the range: the part of the range that took the same step between scales."""
    own, reference_method = METHODS[method][0], case.settings.reference_method
    if own in ("", reference_method):
        return 0.0
    answer, pull = case.answer, 0.0
    for row, card in enumerate(answer.cards):
        if card.reference_method != reference_method:
            family = answer.combined.weights[FAMILIES.index(card.method), 0]
            pull += float(family * answer.weights[row, 0])
    return pull * STEP_SD[reference_method] ** 2


@pytest.mark.parametrize("wanted", [DENSITY, DXA])
@pytest.mark.parametrize("method", list(METHODS))
def test_place_by_hand(method: str, wanted: Any) -> None:
    case = case_of(Visit.from_dict(tree()), wanted)
    estimate, se = case.answer.combined.estimate[0], case.answer.combined.se[0]
    up, error = moved(method, wanted.reference_method)
    limit = Z95 * np.sqrt(se**2 + error**2 - 2.0 * shared(case, method))
    for apart in (0.0, limit - 0.01, limit + 0.01):
        percent = float(estimate + apart - up)
        result = OutsideResult(method, Sheet(percent), date(2026, 3, 10))
        placing = place(result, case.answer, wanted, 84.6, date(2026, 3, 10))
        assert placing.fat_percent == percent
        assert placing.on_reference_method == pytest.approx(estimate + apart)
        assert placing.error == pytest.approx(error)
        assert placing.points_outside == pytest.approx(max(apart - Z80 * se, 0.0), abs=1e-9)
        assert placing.consistent is bool(apart <= limit)


def test_no_result_is_placed_where_nobody_can_be() -> None:
    """4 % by DXA are 1 % on the density scale; no answer here ever goes below 2 %."""
    (placing,) = placed(entry("dxa", 2.5))
    assert placing.on_reference_method is None or placing.on_reference_method >= 0.0


REMARKED: list[tuple[str, dict[str, Any]]] = [
    ("does_not_add_up", entry("dxa", 20.0, fat_mass_kg=30.0, fat_free_mass_kg=67.7)),
    ("too_little", {"method": "dxa", "date": DAY, "weight_kg": 84.6}),
    ("not_sound", entry("dxa", 1.9)),
    ("not_sound", entry("dxa", 70.1)),
    ("other_weight", entry("dxa", 20.0) | {"weight_kg": 87.2}),  # 3.07 % more
    ("other_weight", {"method": "dxa", "date": DAY, "fat_mass_kg": 15.0, "fat_free_mass_kg": 45.0}),
    ("old", entry("dxa", 20.0) | {"date": "2026-02-09"}),  # 29 days
    ("no_date", {"method": "dxa", "fat_percent": 20.0}),
    ("no_weight", {"method": "dxa", "date": DAY, "fat_mass_kg": 17.0}),
    ("scale_not_known", entry("bioimpedance", 20.0)),
    ("method_not_known", entry("unknown", 20.0)),
]


@pytest.mark.parametrize(("code", "result"), REMARKED)
def test_each_remark_is_made_and_said_and_bars_or_not(code: str, result: dict[str, Any]) -> None:
    (placing,) = placed(result)
    assert code in placing.remarks
    words = " ".join(outside_sentences(placing, "density", included=False))
    if code == "does_not_add_up":
        assert "do not add up" in words
    else:
        assert REMARK_SENTENCES[code] in words
    assert "It is not included in the range." in words
    assert placing.may_join == (code in ("no_date", "no_weight", "scale_not_known"))
    if not placing.may_join:  # said, not averaged
        assert joined(result) == pytest.approx(joined(), abs=1e-12)


def test_all_remarks_are_tried_and_none_is_made_without_cause() -> None:
    assert {code for code, _ in REMARKED} == set(REMARKS) == set(REMARK_SENTENCES)
    assert placed(entry("dxa", 20.0))[0].remarks == ()
    near = entry("dxa", 20.0) | {"weight_kg": 87.1, "date": "2026-02-10"}  # 2.96 %, 28 days
    assert placed(near)[0].remarks == ()


# joining --------------------------------------------------------------------------------------------


def test_results_join_only_where_that_is_asked_for() -> None:
    visit, alone = Visit.from_dict(tree(entry("dxa", 30.0))), Visit.from_dict(tree())
    assert reconcile(visit).to_dict() == reconcile(alone).to_dict()
    assert reconcile(alone, include_outside=True).to_dict() == reconcile(alone).to_dict()
    assert reconcile(visit, include_outside=True).fat_percent != reconcile(alone).fat_percent


@pytest.mark.parametrize("percent", [15.0, 21.0, 33.0])
@pytest.mark.parametrize("method", ["dxa", "air_displacement", "bioimpedance"])
def test_one_result_joins_by_the_textbook(method: str, percent: float) -> None:
    """w = (v - c) / (v + e² - 2c) for the smallest variance; Birge's widening beyond 1 in 10."""
    case = case_of(Visit.from_dict(tree()), DENSITY)
    estimate, se = case.answer.combined.estimate[0], case.answer.combined.se[0]
    up, error = moved(method, "density")
    c = shared(case, method)
    total = se**2 + error**2 - 2.0 * c
    w = (se**2 - c) / total
    variance = (1.0 - w) ** 2 * se**2 + w**2 * error**2 + 2.0 * w * (1.0 - w) * c
    q = (percent + up - estimate) ** 2 / total
    visit = Visit.from_dict(tree(entry(method, percent)))
    result = reconcile(visit, reference_method="density", include_outside=True)
    fat = result.fat_percent
    assert fat.estimate == pytest.approx(estimate + w * (percent + up - estimate))
    assert fat.se == pytest.approx(np.sqrt(variance * max(1.0, q / STRAINED)), rel=2e-4)
    assert sum(family.weight for family in result.methods) == pytest.approx(1.0 - w)


@pytest.mark.parametrize(
    "outside", [(entry("dxa", 22.0),), (entry("bioimpedance", 40.0), entry("dxa", 19.0))]
)
def test_budget_sums_to_the_variance_and_masses_to_the_weight(outside: Any) -> None:
    result = reconcile(Visit.from_dict(tree(*outside)), include_outside=True)
    fat, fat_mass, lean = result.fat_percent, result.fat_mass_kg, result.fat_free_mass_kg
    assert fat.se is not None
    assert sum(result.budget.values()) == pytest.approx(fat.se**2)
    assert min(result.budget.values()) >= -1e-9
    assert result.budget["outside"] > 0.0
    assert fat_mass.range_80 is not None
    assert lean.range_80 is not None
    sums = [(fat_mass.estimate or 0.0) + (lean.estimate or 0.0)]
    sums += [end + other for end, other in zip(fat_mass.range_80, lean.range_80[::-1], strict=True)]
    assert {f"{total:.2f}" for total in sums} == {"84.60"}


def test_two_results_by_one_step_are_not_surer_than_the_step() -> None:
    """No weights can beat the smallest variance 1 / Σ C⁻¹ of visit and results with what they share.

    Both results take the same step up to the DXA scale: ± 2.4 in common.
    """
    lines = [entry(method, 19.0) for method in ("underwater_weighing", "air_displacement")]
    visit = Visit.from_dict(tree(*lines))
    case, step = case_of(visit, DXA), STEP_SD["dxa"] ** 2
    c, own, v = shared(case, "air_displacement"), 2.4**2, case.answer.combined.se[0] ** 2
    covariance = np.array([[v, c, c], [c, own + step, step], [c, step, own + step]])
    least = 1.0 / np.linalg.inv(covariance).sum()
    fat = reconcile(visit, reference_method="dxa", include_outside=True).fat_percent
    assert fat.se is not None
    assert fat.se >= np.sqrt(least) - 1e-9


def test_the_same_method_over_and_over_is_no_new_witness() -> None:
    """Ten results of one kind of device miss alike for one body; as independent they made ± 1.6."""
    scale = entry("bioimpedance", 20.0)
    once, often = joined(scale), joined(*[scale] * 10)
    assert often[1] >= 0.8 * once[1]


def test_the_order_of_lines_does_not_matter() -> None:
    """Three results in any order, one of them far off, give one answer, to the printed digit."""
    lines = (entry("bioimpedance", 45.0), entry("air_displacement", 18.0), entry("dxa", 22.0))
    found = [joined(*order) for order in permutations(lines)]
    assert np.ptp(np.array(found), axis=0) == pytest.approx([0.0, 0.0], abs=0.05)


# the visit file -------------------------------------------------------------------------------------

FAULTS: list[tuple[Any, str, str]] = [
    *((shape, "E121", "[[outside_results]]") for shape in ("dxa", 27.5, [27.5], None)),
    ([{"method": "dxa"}], "E120", "[[outside_results]]"),
    ([{"method": "mri", "fat_percent": 20.0}], "E113", "method"),
    ([{"method": ["dxa"], "fat_percent": 20.0}], "E113", "method"),
    ([{"fat_percent": 20.0, "muscle_kg": 61.3}], "E115", "muscle_kg"),
    ([{"fat_percent": 20.0, "fat_mass_lb": 44.7}], "E115", "fat_mass_lb"),
    ([{"fat_percent": 20.0}, {"fat_percent": True}], "E101", "[[outside_results]] 2 fat_percent"),
    *(
        ([{name: value}], code, name)
        for name in ("fat_percent", "fat_mass_kg", "fat_free_mass_kg", "weight_kg")
        for value, code in (
            (0, "E107"), (-3.7, "E107"), (float("nan"), "E106"), (float("inf"), "E106"),
            (10**400, "E106"), (True, "E101"), (None, "E101"), ([20.0], "E101"), ("much", "E101"),
            ("1_9", "E101"), (501.7, "E102"), ("19.7 cm", "E105" if "kg" in name else "E101"),
        )
    ),
    ([{"fat_percent": 100.3}], "E102", "fat_percent"),
    ([{"fat_mass_kg": "19,734"}], "E108", "fat_mass_kg"),
    ([{"fat_mass_kg": "19.7 pouns"}], "E104", "fat_mass_kg"),
    ([{"fat_percent": 20.0, "date": "2096-03-04"}], "E116", "date"),
    ([{"fat_percent": 20.0, "date": "last week"}], "E117", "date"),
]  # fmt: skip


@pytest.mark.parametrize(("given", "code", "where"), FAULTS)
def test_what_cannot_be_read_is_named_and_not_repeated(given: Any, code: str, where: str) -> None:
    with pytest.raises(FoldspanError) as caught:
        Visit.from_dict(tree() | {"outside_results": given})
    (problem,) = caught.value.problems
    assert problem.code == code
    assert problem.where.endswith(where)
    # health data: the exception that a log may hold never repeats what was typed
    typed = ("3.7", "501.7", "19.7", "19,7", "100.3", "61.3")
    assert not any(number in str(caught.value) for number in typed)


def test_texts_with_units_one_table_and_no_results_are_read() -> None:
    pounds = {"method": "dxa", "fat_percent": " 24.5 % ", "fat_mass_kg": "44 lb"}
    visit = Visit.from_dict(tree() | {"outside_results": pounds | {"weight_kg": "13 st"}})
    (result,) = visit.outside_results
    # 0.45359237 kg a pound, 6.35029318 kg a stone (1959)
    assert astuple(result.sheet) == pytest.approx((24.5, 19.95806428, None, 82.55381134))
    assert (result.method, result.day) == ("dxa", None)
    assert "24.5" not in repr(visit) + repr(result) + repr(result.sheet)
    assert Visit.from_dict(tree()).outside_results == ()
    assert Visit.from_dict(tree({"fat_percent": 20.0})).outside_results[0].method == "unknown"
