"""Change between visits through the public function and the command line: hostile and by hand."""

from __future__ import annotations

import itertools
import json
import math
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import tomli_w

import foldspan
from foldspan.followup.comparability import BREAKS
from foldspan.followup.difference import Change, Difference
from foldspan.text.change import BREAK_SENTENCES, break_sentences
from foldspan.visit.calendar import years_between

Run = Callable[..., tuple[int, str, str]]
Tree = dict[str, Any]
FOLDS = {
    "triceps": [21.0, 21.5], "biceps": [10.5, 10.0], "subscapular": [16.0, 16.5],
    "suprailiac_anterior": [18.0, 18.5], "suprailiac_midaxillary": [20.0, 21.0],
    "abdominal": [25.0, 26.0], "thigh": [31.0, 32.0], "chest": [11.0, 11.5],
}  # fmt: skip
GIRTHS = {"waist_midpoint": [82.4, 82.9], "abdomen_navel": [88.1, 88.5], "hip": 102.4, "neck": 33.1}
DAY = date(2026, 3, 4)
KEYS = {
    "earlier", "later", "change", "se", "range_80", "range_95", "minimal_detectable_change", "is_real",
}  # fmt: skip


def tree(weeks: float | None = 0.0, factor: float = 1.0, **sections: Mapping[str, Any]) -> Tree:
    """A visit file; ``factor`` scales folds and waist; ``sections`` are laid over, None takes out."""
    visit: Tree = {"tester": "T-02", "calliper": "C-1", "time": "07:30"}
    if weeks is not None:
        visit["date"] = (DAY + timedelta(days=round(7 * weeks))).isoformat()
    made: Tree = {
        "client": {"code": "K-014", "sex": "female", "age_years": 41},
        "visit": visit,
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
        "skinfolds_mm": {name: [factor * mm for mm in given] for name, given in FOLDS.items()},
        "girths_cm": dict(GIRTHS),
    }
    for section, lines in sections.items():
        merged = made.get(section, {}) | dict(lines)
        made[section] = {key: value for key, value in merged.items() if value is not None}
    return {key: lines for key, lines in made.items() if lines}


def visit(weeks: float | None = 0.0, factor: float = 1.0, **sections: Any) -> foldspan.Visit:
    return foldspan.Visit.from_dict(tree(weeks, factor, **sections), accept_unusual=True)


def only(**kept: Any) -> Tree:
    """Sections of which nothing is left but what is named."""
    gone: Tree = {
        "mass_height": dict.fromkeys(("weight_kg", "height_cm")),
        "skinfolds_mm": dict.fromkeys(FOLDS),
        "girths_cm": dict.fromkeys(GIRTHS),
    }
    return {section: lines | kept.get(section, {}) for section, lines in gone.items()}


def between(earlier: foldspan.Visit, later: foldspan.Visit) -> Change:
    return foldspan.change(earlier, later).change


def codes_of(caught: pytest.ExceptionInfo[foldspan.FoldspanError]) -> list[str]:
    return [problem.code for problem in caught.value.problems]


def written(folder: Path, *trees: Tree) -> list[str]:
    paths = [folder / f"visit{place}.toml" for place in range(len(trees))]
    for path, tree in zip(paths, trees, strict=True):
        path.write_text(tomli_w.dumps(tree), encoding="utf-8")
    return [str(path) for path in paths]


def all_differences(change: Change) -> list[Difference]:
    named = (change.percent, change.fat_mass, change.fat_free_mass, change.weight, change.folds)
    assert all(each is not None for each in named)
    return [each for each in (*named, *change.girths.values()) if each is not None]


# what breaks a comparison -----------------------------------------------------------------------------

# code → later visit that has it, and its nearest neighbour that has not
PAIRS: dict[str, tuple[foldspan.Visit, foldspan.Visit]] = {
    "other_tester": (visit(8, visit={"tester": "T-03"}), visit(8)),
    "tester_not_known": (visit(8, visit={"tester": None}), visit(8, visit={"tester": "T-03"})),
    "other_calliper": (visit(8, visit={"calliper": "C-2"}), visit(8)),
    "calliper_not_known": (
        visit(8, visit={"calliper": None}),
        visit(8, visit={"calliper": None}, skinfolds_mm=dict.fromkeys(FOLDS)),
    ),
    "other_time": (visit(8, visit={"time": "10:31"}), visit(8, visit={"time": "10:30"})),
    "variant_differs": (
        visit(8, site_variants={"thigh": "seated"}), visit(8, site_variants={"thigh": "standing"}),
    ),
    "other_side": (
        visit(8, how_taken={"left_side": ["thigh"]}), visit(8, how_taken={"left_side": []}),
    ),
    "clothing_differs": (
        visit(8, how_taken={"over_clothing": ["hip"]}), visit(8, how_taken={"over_clothing": []}),
    ),
    "height_differs": (
        visit(8, mass_height={"height_cm": 169.8}), visit(8, mass_height={"height_cm": 169.6}),
    ),
    "measured_once": (visit(8, skinfolds_mm={"thigh": None}), visit(8, skinfolds_mm={"thigh": 33.0})),
    # at 86 kg, a body mass index of 30, equations for obesity come in
    "equations_differ": tuple(visit(8, mass_height={"weight_kg": kg}) for kg in (86.0, 82.0)),
    "too_soon": (visit(27 / 7), visit(4)),
}  # fmt: skip


def test_every_break_has_its_pair_and_its_sentence() -> None:
    assert set(PAIRS) == set(BREAKS) == set(BREAK_SENTENCES)


@pytest.mark.parametrize("code", BREAKS)
def test_a_break_is_raised_by_its_pair_and_not_by_the_neighbour(code: str) -> None:
    first = visit(0, site_variants={"thigh": "standing"})
    with_break, without = (between(first, later) for later in PAIRS[code])
    assert code in with_break.breaks
    assert code not in without.breaks
    assert len(break_sentences(with_break)) == len(with_break.breaks)


def test_another_tester_widens_percent_and_folds() -> None:
    with_break, without = (between(visit(0), to) for to in (PAIRS["other_tester"][0], visit(8)))
    assert with_break.percent.se > without.percent.se
    assert with_break.folds.se > without.folds.se


def test_another_calliper_moves_the_sum_of_folds_by_a_tenth() -> None:
    """All folds together: a tenth of the sum in quadrature, by hand."""
    same, other = (between(visit(0), later) for later in (visit(8), PAIRS["other_calliper"][0]))
    total = sum(sum(given) / 2.0 for given in FOLDS.values())
    assert other.folds.se == pytest.approx(math.hypot(same.folds.se, 0.1 * total))


def test_a_site_measured_once_is_left_out_and_named(run: Run, tmp_path: Path) -> None:
    later = tree(8, skinfolds_mm={"thigh": None}, girths_cm={"neck": None})
    found = between(visit(0), foldspan.Visit.from_dict(later))
    assert set(found.once) == {"thigh_mm", "neck_cm"}
    assert not set(found.once) & set(found.used)
    assert "neck_cm" not in found.girths
    exit_code, out, _ = run("change", *written(tmp_path, tree(0), later))
    assert exit_code == 0
    said = " ".join(out.split())
    named = said.split("so left out:")[1].split(".")[0]
    assert "thigh" in named
    assert "neck" in named


def test_a_moved_variant_leaves_the_fold_out_of_the_sum() -> None:
    found = between(
        visit(0, site_variants={"thigh": "standing"}), visit(8, site_variants={"thigh": "seated"})
    )
    assert "thigh_mm" not in found.used
    assert found.folds.earlier == pytest.approx(sum(sum(g) / 2 for g in FOLDS.values()) - 31.5)


@pytest.mark.parametrize(
    ("first", "second", "code"),
    [
        (visit(8), visit(0), "E126"),
        (visit(0), visit(8, client={"sex": "male"}), "E126"),
        (visit(0), visit(8, client={"code": "K-015"}), "E126"),
        (visit(0), visit(8, client={"age_years": 39}), "E126"),
        (visit(0), visit(8, client={"pregnant": True}), "E202"),
        (visit(0, client={"age_years": 17}), visit(8, client={"age_years": 18}), "E201"),
        (visit(0), visit(8, intake={"birth_months_ago": 2}), "E204"),
        (visit(0), visit(8, intake={"conditions": ["limb_loss"]}), "E205"),
        (visit(0), visit(8, intake={"conditions": ["dialysis"]}), "E206"),
    ],
)
def test_visits_that_must_not_be_compared(
    first: foldspan.Visit, second: foldspan.Visit, code: str
) -> None:
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.change(first, second)
    assert codes_of(caught) == [code]


@pytest.mark.parametrize(
    "three",
    [
        (visit(0), visit(8), visit(4)),
        (visit(8), visit(None), visit(0)),
        (visit(0, client={"code": None}), visit(8), visit(16, client={"code": "K-015"})),
    ],
    ids=["middle late", "an undated visit between", "the first without a code"],
)
def test_three_visits_out_of_order_or_of_two_clients(three: tuple[foldspan.Visit, ...]) -> None:
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.change(*three)
    assert codes_of(caught) == ["E126"]


def test_what_is_no_visit_is_a_type_error() -> None:
    """As ``reconcile`` has it."""
    with pytest.raises(TypeError, match="Visit"):
        foldspan.change("visit.toml", "later.toml")  # type: ignore[arg-type]


def test_two_identical_visits_differ_by_nothing() -> None:
    found = between(visit(0), visit(8))
    assert found.breaks == ()
    for moved in all_differences(found):
        assert moved.amount == 0.0
        assert moved.chance_of_fall == pytest.approx(0.5)
        assert not moved.is_real
        assert moved.range_80[0] == pytest.approx(-moved.range_80[1])
        assert moved.range_95[1] == moved.minimal_detectable_change > moved.range_80[1] > 0.0


@pytest.mark.parametrize("calliper", ["C-1", "C-2"])
def test_earlier_and_later_swapped_give_the_mirror_image(calliper: str) -> None:
    earlier, later = (
        visit(None),
        visit(None, 0.8, visit={"calliper": calliper}, mass_height={"weight_kg": 66}),
    )
    there, back = between(earlier, later), between(later, earlier)
    for first, second in zip(all_differences(there), all_differences(back), strict=True):
        assert second.amount == pytest.approx(-first.amount)
        assert second.se == pytest.approx(first.se)
        assert second.range_80 == pytest.approx((-first.range_80[1], -first.range_80[0]))
        assert second.chance_of_fall == pytest.approx(1.0 - first.chance_of_fall)
        assert second.is_real == first.is_real


@pytest.mark.parametrize("stated", ["density", "dxa"])
@pytest.mark.parametrize("kilograms", [70.9, 66.66, 75.13])
def test_fat_and_lean_change_by_what_the_weight_changes(stated: str, kilograms: float) -> None:
    later = visit(8, 0.9, mass_height={"weight_kg": kilograms})
    change = foldspan.change(visit(0), later, reference_method=stated).change
    assert change.fat_mass.amount + change.fat_free_mass.amount == pytest.approx(kilograms - 71.3)
    assert change.weight.amount == pytest.approx(kilograms - 71.3)


def test_printed_masses_add_up_to_the_printed_digit() -> None:
    """As the masses of ``reconcile`` do, always: fat + lean = weight, at both visits and in change."""
    for pounds in range(140, 152):
        later = visit(8, 0.95, mass_height={"weight_kg": f"{pounds} lb"})
        printed = foldspan.change(visit(0), later).to_dict()
        for key in ("earlier", "later", "change"):
            parts = printed["fat_mass_kg"][key] + printed["fat_free_mass_kg"][key]
            assert parts == pytest.approx(printed["weight_kg"][key], abs=1e-6)


@pytest.mark.parametrize("sex", ["female", "male"])
@pytest.mark.parametrize("is_whole", [True, False], ids=["all sites", "four skinfolds"])
def test_a_birthday_between_two_alike_visits_is_no_change(sex: str, is_whole: bool) -> None:
    """Formulas by decades of age jump at 40; a body with the same readings did not.

    Formulas with an age term move by up to 0.3 points a year, so 0.3 points are allowed.
    """
    four = ("triceps", "biceps", "subscapular", "suprailiac_midaxillary")
    less = {} if is_whole else only(skinfolds_mm={name: FOLDS[name] for name in four})
    ages = (39, 40)
    earlier, later = (
        visit(weeks, client={"sex": sex, "age_years": age}, **less)
        for weeks, age in zip((0, 12), ages, strict=True)
    )
    found = between(earlier, later)
    assert abs(found.percent.amount) < 0.3


def test_a_family_missing_at_one_visit_is_left_out_of_both() -> None:
    tape = {"skinfolds_mm": dict.fromkeys(FOLDS)}
    mixed, alike = between(visit(0), visit(8, **tape)), between(visit(0, **tape), visit(8, **tape))
    assert mixed.folds is None
    assert mixed.percent.earlier == pytest.approx(alike.percent.earlier)
    assert mixed.percent.amount == pytest.approx(0.0, abs=1e-9)
    assert {f"{name}_mm" for name in FOLDS} <= set(mixed.once)


def test_only_weight_at_both_visits(run: Run, tmp_path: Path) -> None:
    later = tree(8, **only(mass_height={"weight_kg": 68.0}))
    found = between(visit(0), foldspan.Visit.from_dict(later))
    assert found.percent is found.fat_mass is found.fat_free_mass is found.folds is None
    assert found.girths == found.by_stability == {}
    assert found.cancelled == 0.0
    assert found.weight.amount == pytest.approx(-3.3)
    _, out, _ = run("change", *written(tmp_path, tree(0), later))
    assert "No equation" in out
    assert "-3.3 kg" in out  # what is known is shown


def test_nothing_in_common_is_no_estimate(run: Run, tmp_path: Path) -> None:
    first = tree(0, **only(mass_height={"weight_kg": 71.3, "height_cm": 168.2}))
    later = tree(8, **only(girths_cm={"waist_midpoint": 82.0}))
    exit_code, out, _ = run("change", *written(tmp_path, first, later))
    assert "No equation" in out
    assert exit_code == 1  # no usable estimate, as for every command


def test_trend_of_three_alike_visits_by_hand() -> None:
    """Equal spacing and equal errors: the slope is (last - first) / time, whatever the middle says.

    Its variance is that of the difference over the time squared, since all pairs correlate alike.
    """
    folds = [visit(weeks, factor) for weeks, factor in ((0, 1.0), (10, 0.99), (20, 0.98))]
    found = foldspan.change(*folds)
    months = 140.0 / (365.25 / 12.0)
    assert found.trend.visits == 3
    # folds move by 2 %, and errors with them, so a hundredth is allowed
    assert found.trend.a_month == pytest.approx(found.change.percent.amount / months, rel=0.02)
    assert found.trend.se == pytest.approx(found.change.percent.se / months, rel=0.02)


def test_trend_of_uneven_days_is_ordinary_least_squares() -> None:
    """With one error and one correlation for all, generalised least squares is the ordinary line."""
    given = ((0, 1.0), (3, 1.01), (11, 0.99), (16, 0.98))
    visits = [visit(weeks, factor) for weeks, factor in given]
    found = foldspan.change(*visits)
    firsts = [between(visits[0], visit).percent for visit in visits[1:]]
    values = [0.0, *(first.amount for first in firsts if first is not None)]
    months = np.array([7.0 * weeks for weeks, _ in given]) / (365.25 / 12.0)
    assert found.trend.a_month == pytest.approx(np.polyfit(months, values, 1)[0], rel=0.03)
    assert (found.trend.chance_of_fall > 0.5) == (found.trend.a_month < 0.0)


@pytest.mark.parametrize("days", [(0, 0, 0), (0, 0, 8), (None, 0, 8), (None, None, None)])
def test_fewer_than_three_days_make_no_trend(days: tuple[float | None, ...]) -> None:
    assert foldspan.change(*(visit(day) for day in days)).trend is None


def test_a_break_in_between_stands_in_the_trend() -> None:
    found = foldspan.change(visit(0), visit(8, visit={"tester": "T-03"}), visit(16))
    assert "other_tester" in found.trend.breaks
    assert "other_tester" not in found.change.breaks


def test_json_keys_and_their_meaning(run: Run, tmp_path: Path) -> None:
    later = tree(8, 0.8, mass_height={"weight_kg": "150 lb"})
    exit_code, out, err = run("change", *written(tmp_path, tree(0), later), "--json")
    assert (exit_code, err) == (0, "")
    printed = json.loads(out)
    assert {"schema_version", "reference_method", "breaks", "cancelled", "trend"} <= set(printed)
    assert printed["weeks"] == 8.0
    for name in ("fat_percent", "fat_mass_kg", "fat_free_mass_kg", "weight_kg", "sum_of_folds_mm"):
        line = printed[name]
        assert set(line) == KEYS | {"chance_of_fall", "chance_of_rise"}
        assert line["chance_of_fall"] + line["chance_of_rise"] == pytest.approx(1.0, abs=0.0011)
        assert line["range_95"][0] <= line["range_80"][0] <= line["change"] <= line["range_80"][1]
        assert line["is_real"] == (not line["range_95"][0] <= 0.0 <= line["range_95"][1])
    assert set(printed["girths_cm"]) == {f"{name}_cm" for name in GIRTHS}
    assert set(printed["se_by_stability"]) == {"0.80", "0.90", "0.95"}
    low, middle, high = (printed["se_by_stability"][key] for key in ("0.80", "0.90", "0.95"))
    assert low > middle == printed["fat_percent"]["se"] > high


def test_us_units_are_those_of_the_text(run: Run, tmp_path: Path) -> None:
    paths = written(tmp_path, tree(0), tree(8, mass_height={"weight_kg": 68.9}))
    _, out, _ = run("change", *paths, "--units", "us")
    assert "157.2 lb -> 151.9 lb: -5.3 lb" in out  # 71.3 and 68.9 kg at 0.45359237 kg
    assert " kg" not in out
    assert run("change", *paths, "--units", "stone")[0] == 2
    assert max(map(len, out.splitlines())) <= 80


def test_one_visit_is_none_to_compare_and_the_same_twice_is_no_change(
    run: Run, tmp_path: Path
) -> None:
    (path,) = written(tmp_path, tree(0))
    exit_code, out, err = run("change", path)
    assert (exit_code, out) == (2, "")
    assert "E501" in err
    exit_code, out, _ = run("change", path, path)
    assert exit_code == 0
    assert "too short to show a change in body fat" in out
    assert ": 0.0 points" in out
    assert run("change", path, path, path)[0] == 0  # one day only: no trend, no crash


def test_nothing_of_the_client_in_repr_or_in_errors() -> None:
    found = foldspan.change(visit(0), visit(8, 0.9), visit(16, 0.8))
    for shown in (found, found.change, found.change.percent, found.trend):
        assert not any(char in repr(shown) for char in ("71.3", "K-014", "21.", "se="))
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.change(visit(0), visit(8, client={"code": "K-015", "age_years": 33}))
    assert not any(word in str(caught.value) for word in ("K-014", "K-015", "33", "41", "71.3"))


@pytest.mark.parametrize("born", [date(1980, 2, 29), date(1981, 3, 1), date(1979, 12, 31)])
def test_age_is_whole_on_birthdays_and_never_falls(born: date) -> None:
    """A birthday on 29 February falls on 1 March in a short year."""
    days = [date(2019, 1, 1) + timedelta(days=step) for step in range(3 * 366)]
    ages = [years_between(born, day) for day in days]
    assert all(later >= earlier for earlier, later in itertools.pairwise(ages))
    for day, age in zip(days, ages, strict=True):
        completed = day.year - born.year - ((day.month, day.day) < (born.month, born.day))
        assert math.floor(age) == completed
