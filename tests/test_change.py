"""Change between visits through the public function and the command line: hostile and by hand."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
import tomli_w

import foldspan
from foldspan.changes import Change, Difference
from foldspan.footing import BREAKS, FIRST_WEEKS
from foldspan.wording_change import BREAK_SENTENCES, break_sentences

Run = Callable[..., tuple[int, str, str]]
Tree = dict[str, Any]
FOLDS = {
    "triceps": [21.0, 21.5], "biceps": [10.5, 10.0], "subscapular": [16.0, 16.5],
    "suprailiac_anterior": [18.0, 18.5], "suprailiac_midaxillary": [20.0, 21.0],
    "abdominal": [25.0, 26.0], "thigh": [31.0, 32.0], "chest": [11.0, 11.5],
}  # fmt: skip
GIRTHS = {"waist_midpoint": [82.4, 82.9], "abdomen_navel": [88.1, 88.5], "hip": 102.4, "neck": 33.1}
DAY = date(2026, 3, 4)
KEYS = {"earlier", "later", "change", "se", "likely", "wide", "smallest_real", "is_real"}


def tree(weeks: float | None = 0.0, factor: float = 1.0, **sections: Mapping[str, Any]) -> Tree:
    """A visit file; ``factor`` scales folds and waist; ``sections`` are laid over, None takes out."""
    visit: Tree = {"tester": "T-02", "calliper": "C-1", "time": "07:30"}
    if weeks is not None:
        visit["date"] = (DAY + timedelta(days=round(7 * weeks))).isoformat()
    made: Tree = {
        "client": {"code": "K-014", "sex": "female", "age_years": 41},
        "visit": visit,
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
        "skinfolds_mm": {name: [factor * one for one in given] for name, given in FOLDS.items()},
        "girths_cm": dict(GIRTHS),
    }
    for section, lines in sections.items():
        merged = made.get(section, {}) | dict(lines)
        made[section] = {key: one for key, one in merged.items() if one is not None}
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


def between(one: foldspan.Visit, two: foldspan.Visit) -> Change:
    return foldspan.change(one, two).change


def codes_of(caught: pytest.ExceptionInfo[foldspan.FoldspanError]) -> list[str]:
    return [problem.code for problem in caught.value.problems]


def written(folder: Path, *trees: Tree) -> list[str]:
    paths = [folder / f"visit{place}.toml" for place in range(len(trees))]
    for path, one in zip(paths, trees, strict=True):
        path.write_text(tomli_w.dumps(one), encoding="utf-8")
    return [str(path) for path in paths]


def all_differences(one: Change) -> list[Difference]:
    named = (one.percent, one.fat_mass, one.lean_mass, one.weight, one.folds)
    assert all(each is not None for each in named)
    return [each for each in (*named, *one.girths.values()) if each is not None]


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
    "equations_differ": (visit(8, client={"athlete": True}), visit(8, client={"athlete": False})),
    "too_soon": (visit(27 / 7), visit(4)),
}  # fmt: skip


def test_every_break_has_its_pair_and_its_sentence() -> None:
    assert set(PAIRS) == set(BREAKS) == set(BREAK_SENTENCES)
    assert pytest.approx(4.0) == FIRST_WEEKS


@pytest.mark.parametrize("code", BREAKS)
def test_a_break_is_raised_by_its_pair_and_not_by_the_neighbour(code: str) -> None:
    first = visit(0, site_variants={"thigh": "standing"})
    with_break, without = (between(first, later) for later in PAIRS[code])
    assert code in with_break.breaks
    assert code not in without.breaks
    assert len(set(with_break.breaks)) == len(with_break.breaks)
    assert len(break_sentences(with_break)) == len(with_break.breaks)


def test_an_unbroken_pair_has_no_break() -> None:
    assert between(visit(0), visit(8)).breaks == ()


@pytest.mark.parametrize("code", ["other_tester", "other_calliper"])
def test_what_is_counted_in_widens_percent_and_folds(code: str) -> None:
    with_break, without = (between(visit(0), later) for later in (PAIRS[code][0], visit(8)))
    assert with_break.percent is not None
    assert without.percent is not None
    assert with_break.percent.se > without.percent.se
    assert with_break.folds is not None
    assert without.folds is not None
    assert with_break.folds.se > without.folds.se


def test_another_calliper_moves_the_sum_of_folds_by_a_tenth() -> None:
    """All folds together: a tenth of the sum in quadrature, by hand."""
    one, two = (between(visit(0), later) for later in (visit(8), PAIRS["other_calliper"][0]))
    assert one.folds is not None
    assert two.folds is not None
    total = sum(sum(given) / 2.0 for given in FOLDS.values())
    assert two.folds.se == pytest.approx(math.hypot(one.folds.se, 0.1 * total))


def test_a_site_measured_once_is_left_out_and_named(run: Run, tmp_path: Path) -> None:
    later = tree(8, skinfolds_mm={"thigh": None}, girths_cm={"neck": None})
    found = between(visit(0), foldspan.Visit.from_dict(later))
    assert set(found.once) == {"thigh_mm", "neck_cm"}
    assert not set(found.once) & set(found.used)
    assert "neck_cm" not in found.girths
    exit_code, out, _ = run("change", *written(tmp_path, tree(0), later))
    assert exit_code == 0
    said = " ".join(out.split())
    assert "Measured at one visit only, so left out: thigh" in said or "thigh" in said
    assert "neck" in said.split("left out:")[1].split(".")[0]


def test_a_moved_variant_leaves_the_fold_out_of_the_sum() -> None:
    found = between(
        visit(0, site_variants={"thigh": "standing"}), visit(8, site_variants={"thigh": "seated"})
    )
    assert "thigh_mm" not in found.used
    assert found.folds is not None
    assert found.folds.earlier == pytest.approx(sum(sum(g) / 2 for g in FOLDS.values()) - 31.5)


def test_a_variant_known_at_one_visit_only_is_taken_as_the_same() -> None:
    assert "thigh_mm" in between(visit(0), visit(8, site_variants={"thigh": "seated"})).used


# who must not be compared -----------------------------------------------------------------------------


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
    assert all(problem.remedy for problem in caught.value.problems)


@pytest.mark.parametrize(
    "weeks", [(0, 8, 4), (8, None, 0)], ids=["middle late", "an undated visit between"]
)
def test_the_order_of_three_visits(weeks: tuple[float | None, ...]) -> None:
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.change(*(visit(one) for one in weeks))
    assert codes_of(caught) == ["E126"]


def test_two_codes_behind_a_visit_without_one_are_two_clients() -> None:
    nameless = visit(0, client={"code": None})
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.change(nameless, visit(8), visit(16, client={"code": "K-015"}))
    assert codes_of(caught) == ["E126"]


def test_what_is_no_visit_is_a_type_error() -> None:
    """As ``reconcile`` has it."""
    with pytest.raises(TypeError, match="Visit"):
        foldspan.change("visit.toml", "later.toml")  # type: ignore[arg-type]


@pytest.mark.parametrize("options", [{"scale": "scales"}, {"conversion": "mine"}])
def test_options_that_are_not_known(options: dict[str, str]) -> None:
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.change(visit(0), visit(8), **options)  # type: ignore[arg-type]
    assert codes_of(caught) == ["E501"]


# sums, signs and mirrors ------------------------------------------------------------------------------


def test_two_identical_visits_differ_by_nothing() -> None:
    for one in all_differences(between(visit(0), visit(8))):
        assert one.amount == 0.0
        assert one.chance_of_fall == pytest.approx(0.5)
        assert not one.is_real
        assert one.likely[0] == pytest.approx(-one.likely[1])
        assert one.wide[1] == one.smallest_real > one.likely[1] > 0.0


@pytest.mark.parametrize("calliper", ["C-1", "C-2"])
def test_earlier_and_later_swapped_give_the_mirror_image(calliper: str) -> None:
    one, two = (
        visit(None),
        visit(None, 0.8, visit={"calliper": calliper}, mass_height={"weight_kg": 66}),
    )
    there, back = between(one, two), between(two, one)
    for first, second in zip(all_differences(there), all_differences(back), strict=True):
        assert second.amount == pytest.approx(-first.amount)
        assert second.se == pytest.approx(first.se)
        assert second.likely == pytest.approx((-first.likely[1], -first.likely[0]))
        assert second.chance_of_fall == pytest.approx(1.0 - first.chance_of_fall)
        assert second.is_real == first.is_real


@pytest.mark.parametrize("scale", ["density", "dxa"])
@pytest.mark.parametrize("kilograms", [70.9, 66.66, 75.13])
def test_fat_and_lean_change_by_what_the_weight_changes(scale: str, kilograms: float) -> None:
    found = foldspan.change(
        visit(0), visit(8, 0.9, mass_height={"weight_kg": kilograms}), scale=scale
    )
    one = found.change
    assert one.fat_mass is not None
    assert one.lean_mass is not None
    assert one.weight is not None
    assert one.fat_mass.amount + one.lean_mass.amount == pytest.approx(kilograms - 71.3)
    assert one.weight.amount == pytest.approx(kilograms - 71.3)


def test_printed_masses_add_up_to_the_printed_digit() -> None:
    """As the masses of ``reconcile`` do, always: fat + lean = weight, at both visits and in change."""
    for step in range(12):
        later = visit(8, 1.0 - 0.013 * step, mass_height={"weight_kg": 70.0 - 0.17 * step})
        printed = foldspan.change(visit(0), later).to_dict()
        for key in ("earlier", "later", "change"):
            parts = printed["fat_mass_kg"][key] + printed["lean_mass_kg"][key]
            assert parts == pytest.approx(printed["weight_kg"][key], abs=1e-6)


def test_a_birthday_between_two_alike_visits_is_no_change_of_the_body() -> None:
    """Formulas by decades of age jump at 40; a body with the same readings twelve weeks later did not.

    Formulas with an age term move by up to 0.3 points a year, so 0.3 points are allowed.
    """
    first, later = visit(0, client={"age_years": 39}), visit(12, client={"age_years": 40})
    found = between(first, later)
    assert found.percent is not None
    assert abs(found.percent.amount) < 0.3


# little in common -------------------------------------------------------------------------------------


def test_a_family_missing_at_one_visit_is_left_out_of_both() -> None:
    tape = {"skinfolds_mm": dict.fromkeys(FOLDS)}
    mixed, alike = between(visit(0), visit(8, **tape)), between(visit(0, **tape), visit(8, **tape))
    assert mixed.folds is None
    assert mixed.percent is not None
    assert alike.percent is not None
    assert mixed.percent.earlier == pytest.approx(alike.percent.earlier)
    assert mixed.percent.amount == pytest.approx(0.0, abs=1e-9)
    assert {f"{name}_mm" for name in FOLDS} <= set(mixed.once)


def test_only_weight_at_both_visits(run: Run, tmp_path: Path) -> None:
    later = tree(8, **only(mass_height={"weight_kg": 68.0}))
    found = between(visit(0), foldspan.Visit.from_dict(later))
    assert found.percent is found.fat_mass is found.lean_mass is found.folds is None
    assert found.girths == {}
    assert found.by_stability == {}
    assert found.cancelled == 0.0
    assert found.weight is not None
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
    exit_code, out, _ = run("change", *written(tmp_path, first, later), "--json")
    assert json.loads(out)["fat_percent"] is None
