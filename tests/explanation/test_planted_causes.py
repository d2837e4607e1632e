"""Planted causes: the reason that is there comes first, with its sign and size, and no other is named.

Invented clients near the average get exactly one cause by editing their readings; the true size of a
cause is what it changes between two methods, computed without the code that takes them apart.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import example_visits
import foldspan
from foldspan.catalogue.card import FAMILIES
from foldspan.estimation.settings import settings_for
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.decomposition import Pair, Reason, pair
from foldspan.explanation.findings import all_pairs, findings_for
from foldspan.explanation.what_if import Case
from foldspan.measurement.accepted_values import accept
from foldspan.quantities import SEXES, Sex
from foldspan.results.case_of_visit import case_of
from invented_clients import (
    BMI_AGE,
    CONSISTENT_SEED,
    EDITS,
    LIMITED,
    SETTINGS,
    SIZE,
    WAIST_DXA,
    WAIST_SCALES,
    WANTED_WAISTS,
    Client,
    analysis_of,
    bmi_without_age,
    cases,
    draw_many,
    folds,
    methods_that_see,
    near_average,
    near_average_levelled,
)

EXAMPLES = example_visits.SOUND
BUILD_CODES = ("more_muscle", "less_muscle", "belly_fat", "fat_under_skin", "trunk_fat", "limb_fat")
ALWAYS = ("usual_gap", "reference_method")  # any pair may have these, whatever is planted


def reason_of(found: Pair, code: str) -> Reason | None:
    return next((reason for reason in found.reasons if reason.code == code), None)


def first_cause(found: Pair, *more: str) -> str:
    return next((r.code for r in found.reasons if r.code not in (*ALWAYS, *more)), "")


# the build ------------------------------------------------------------------------------------------


@pytest.fixture(scope="session")
def edited() -> dict[tuple[str, str], list[tuple[Pair, Pair]]]:
    """The pair in question before and after each edit, by edit and sex."""
    found: dict[tuple[str, str], list[tuple[Pair, Pair]]] = {}
    for client in near_average():
        versions = [client.scaled(factors) for _, factors in EDITS.values()]
        before, *after = (CaseAnalysis(case) for case in cases([client, *versions]))
        known: dict[tuple[str, str], Pair] = {}
        for (edit, (code, _)), edited in zip(EDITS.items(), after, strict=True):
            methods = methods_that_see(code, client.sex)
            known[methods] = known.get(methods) or pair(before, *methods)
            both = (known[methods], pair(edited, *methods))
            found.setdefault((edit, client.sex), []).append(both)
    return found


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("edit", EDITS)
def test_a_build_comes_first_with_its_sign(
    edited: dict[tuple[str, str], list[tuple[Pair, Pair]]], edit: str, sex: Sex
) -> None:
    """In 9 of 10 clients at least: a sign that falls short of two spreads is not called out."""
    code, both = EDITS[edit][0], edited[edit, sex]
    assert len(both) == 8
    assert np.mean([first_cause(after) == code for _, after in both]) >= 0.9
    for before, after in both:
        reason, change = reason_of(after, code), after.difference - before.difference
        assert reason_of(before, code) is None
        assert reason is None or reason.points * change > 0.0
        # first outright where the planted change is larger than anything that was there before
        if abs(change) >= 1.5 * max([abs(reason.points) for reason in before.reasons], default=0.0):
            assert after.reasons[0].code == code


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("edit", EDITS)
def test_a_build_comes_first_where_equations_are_levelled_too(edit: str, sex: Sex) -> None:
    """On the DXA scale, in 3 of 4 clients at least, with the sign of the change."""
    code, factors = EDITS[edit]
    methods, first = methods_that_see(code, sex), []
    for client, before in zip(near_average(), near_average_levelled(), strict=True):
        if client.sex == sex:
            after = analysis_of(client.scaled(factors), before.case.settings)
            earlier, other = (pair(analysis, *methods) for analysis in (before, after))
            reason = reason_of(other, code)
            assert reason is None or reason.points * (other.difference - earlier.difference) > 0.0
            first.append(first_cause(other) == code)
    assert np.mean(first) >= 0.75


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("edit", EDITS)
def test_a_build_has_about_its_true_size(
    edited: dict[tuple[str, str], list[tuple[Pair, Pair]]], edit: str, sex: Sex
) -> None:
    """Points named over the true change of the difference: the middle client within 0.6 to 1.8.

    Where the waist alone grows, up to 2.4: in usual bodies thin folds go with such a waist, and the
    points take that in (docs/explain.md says so).
    """
    ratios = []
    for before, after in edited[edit, sex]:
        if reason := reason_of(after, EDITS[edit][0]):
            ratios.append(reason.points / (after.difference - before.difference))
    middle = float(np.median(ratios))
    assert 0.6 <= middle <= {"belly alone grown": 2.4}.get(edit, 1.8), (middle, ratios)


# causes with an exact size --------------------------------------------------------------------------


@pytest.mark.parametrize("client", near_average()[:6], ids=lambda client: client.sex)
def test_the_age_term_is_what_age_does_to_the_printed_difference(client: Client) -> None:
    """Deurenberg, Weststrate & Seidell (1991) print 0.23 points a year; the other card has no age."""
    methods = (BMI_AGE, bmi_without_age(client.sex))
    ages = (analysis_of(replace(client, age=age)) for age in (40.0, 75.0))
    middle, old = (pair(analysis, *methods) for analysis in ages)
    reason = reason_of(old, "age_term")
    assert reason is not None
    assert reason.points == pytest.approx(0.23 * 35.0, abs=1e-9)
    assert reason.points == pytest.approx(old.difference - middle.difference, abs=1e-9)
    assert old.reasons[0].code == "age_term"
    assert reason_of(middle, "age_term") is None


@pytest.mark.parametrize("reference_method", ["density", "dxa"])
@pytest.mark.parametrize("client", near_average()[:4], ids=lambda client: client.sex)
def test_the_scale_is_three_points_whichever_scale_is_stated(
    client: Client, reference_method: str
) -> None:
    """The stated offset of the design: DXA reads 3 points above weighing under water."""
    analysis = analysis_of(client, settings_for(reference_method, "siri1961"))
    for methods, points in (((WAIST_DXA, BMI_AGE), 3.0), ((BMI_AGE, WAIST_DXA), -3.0)):
        found = pair(analysis, *methods)
        reason = reason_of(found, "reference_method")
        assert reason is not None
        assert reason.points == pytest.approx(points, abs=1e-12)
        assert found.difference - found.on_reference_method == pytest.approx(points, abs=1e-12)
    same = pair(analysis, BMI_AGE, bmi_without_age(client.sex))
    assert reason_of(same, "reference_method") is None


# Schutte (1984) for Black men; Ortiz (1992) for Black women: fat% = 100 (c1 / density - c2)
FITTING = {"male": ("schutte1984", 4.374, 3.928), "female": ("ortiz1992", 4.85, 4.39)}


@pytest.mark.parametrize("client", near_average()[:6], ids=lambda client: client.sex)
def test_the_conversion_is_what_the_fitting_one_would_change(client: Client) -> None:
    """By hand from the printed conversions, Siri (1961) being 100 (4.95 / density - 4.5)."""
    key, c1, c2 = FITTING[client.sex]
    young, dense = replace(client, age=28.0), folds(client.sex, "4site")
    stated = analysis_of(young, ancestry="black")
    found = pair(stated, dense, BMI_AGE)
    reason = reason_of(found, "conversion")
    row = [card.key for card in stated.case.answer.cards].index(dense)
    printed = float(stated.case.answer.percent[row, 0])
    density = 4.95 / (printed / 100.0 + 4.5)
    assert reason is not None
    assert reason.about == (key,)
    assert reason.points == pytest.approx(printed - 100.0 * (c1 / density - c2), abs=1e-9)
    assert first_cause(found, "age_term") == "conversion"
    fitting = settings_for("density", key)
    converted = pair(analysis_of(young, fitting, ancestry="black"), dense, BMI_AGE)
    assert reason_of(converted, "conversion") is None
    assert found.difference - converted.difference == pytest.approx(reason.points, abs=1e-9)
    assert reason_of(pair(analysis_of(young), dense, BMI_AGE), "conversion") is None


@pytest.mark.parametrize("client", near_average()[:6], ids=lambda client: client.sex)
def test_a_slip_is_the_difference_that_it_makes(client: Client) -> None:
    """The weight typed in pounds: 0.45359237 kg each; values are searched to a millionth."""
    pounds = round(client.readings["weight_kg"][0] / 0.45359237, 1)
    clean = client.changed(weight_kg=(round(pounds * 0.45359237, 6),))
    slipped = client.changed(weight_kg=(pounds,))
    methods = (BMI_AGE, folds(client.sex, "4site"))
    before, after = pair(analysis_of(clean), *methods), pair(analysis_of(slipped), *methods)
    reason = reason_of(after, "slip")
    assert reason is not None
    assert reason.about == ("unit", "weight_kg")
    assert reason.points == pytest.approx(after.difference - before.difference, abs=1e-9)
    assert after.reasons[0] is reason
    assert reason.points > 10.0
    assert reason_of(before, "slip") is None
    assert findings_for(analysis_of(slipped))[1].code == "slip"


# causes of unknown direction ------------------------------------------------------------------------

SMALLEST_NAMED = 0.5  # a reason of less is not worth a line [points]


@dataclass(frozen=True)
class Doubt:
    """A pair with a doubtful error, the same without it, and the error's own size [points]."""

    found: Pair
    absent: Pair
    deviation: float


def slope(client: Client, name: str, value: float, methods: tuple[str, str]) -> float:
    """Points of the printed difference per unit of one accepted value, by a small step."""
    steps = [client.changed(**{name: (value + step,)}) for step in (0.05, -0.05)]
    up, down = (pair(CaseAnalysis(case), *methods).difference for case in cases(steps))
    return (up - down) / 0.1


def doubt_outside_limits(client: Client) -> Doubt:
    """A card for 17 to 47 years at 68: 1.5 points a decade; a girth of it is thin too."""
    card, girth = LIMITED[client.sex]
    methods, thin = (card, bmi_without_age(client.sex)), client.scaled({girth: 0.93})
    old, young = (pair(analysis_of(replace(thin, age=age)), *methods) for age in (68.0, 25.0))
    return Doubt(old, young, 0.15 * (68.0 - 48.0))


def doubt_waist_stood_in(client: Client) -> Doubt:
    """Another waist from that at the hip bone, two spreads thinner; spread 4.5 and 3.0 cm."""
    card, wanted, above, spread = WANTED_WAISTS[client.sex]
    methods = (card, WAIST_DXA)
    kept = {name: client.readings[name] for name in SIZE}
    hip_bone = round(float(np.mean(client.readings["abdomen_navel_cm"])) - 2.0 * spread, 1)
    short = replace(client, readings=kept | {"waist_iliac_cm": (hip_bone,)})
    both = short.changed(**{wanted: (there := round(hip_bone - above, 1),)})
    per_cm = slope(both, wanted, there, methods)
    found, absent = (pair(analysis_of(visit), *methods) for visit in (short, both))
    return Doubt(found, absent, abs(per_cm) * spread)


def doubt_site_variant(client: Client) -> Doubt:
    """The triceps fold taken at another mark and half as thick again; a tenth of it is the error."""
    methods = (folds(client.sex, "triceps"), "skinfold")
    thick = client.scaled({"triceps_mm": 1.5})
    value = accept("triceps_mm", thick.readings["triceps_mm"]).value
    found = pair(analysis_of(thick, variants={"triceps": "radiale"}), *methods)
    absent = pair(analysis_of(thick, variants={"triceps": "olecranon"}), *methods)
    per_mm = slope(thick, "triceps_mm", value, (methods[0], bmi_without_age(client.sex)))
    return Doubt(found, absent, abs(per_mm) * 0.1 * value)


def doubt_unsteady_triple(client: Client, *, ended: bool = False) -> Doubt:
    """Three readings spread over two fifths of the fold, or one at the end of the scale."""
    middle = float(np.mean(client.readings["triceps_mm"]))
    given = tuple(round(middle * share, 1) for share in ((1.3,) if ended else (1.1, 1.25, 1.5)))
    tree = client.changed(triceps_mm=given).tree
    if ended:
        tree["skinfolds_mm"]["triceps"] = f"{given[0]}+"
    methods = (folds(client.sex, "triceps"), folds(client.sex, "suprailiac"))
    accepted = accept("triceps_mm", given, is_at_least=ended)
    visit = foldspan.Visit.from_dict(tree, accept_unusual=True)
    found = pair(CaseAnalysis(case_of(visit, SETTINGS)), *methods)
    absent = pair(analysis_of(client.changed(triceps_mm=(round(accepted.value, 1),))), *methods)
    per_mm = slope(client, "triceps_mm", accepted.value, methods)
    return Doubt(found, absent, abs(per_mm) * accepted.se)


DOUBTS: dict[str, tuple[str, Callable[[Client], Doubt]]] = {
    "outside limits": ("outside_limits", doubt_outside_limits),
    "waist stood in": ("waist_stood_in", doubt_waist_stood_in),
    "site variant": ("site_variant", doubt_site_variant),
    "unsteady triple": ("unsure_readings", doubt_unsteady_triple),
    "scale end": ("unsure_readings", partial(doubt_unsteady_triple, ended=True)),
}


@pytest.mark.parametrize("cause", DOUBTS)
def test_a_doubtful_error_takes_its_share_of_the_rest(cause: str) -> None:
    """Promised: the share of what is left that its variance earns, at most one standard deviation.

    So it is named exactly where that share is worth a line, comes first, and never turns the sign of
    what is left. Its deviation is computed here by a small step (3 %; a fifth where both read a fold).
    """
    code, make = DOUBTS[cause]
    named = 0
    for client in near_average()[:6]:
        doubt = make(client)
        found, reason = doubt.found, reason_of(doubt.found, code)
        assert reason_of(doubt.absent, code) is None
        rest = found.unexplained + (reason.points if reason else 0.0)
        deviation = reason.detail["deviation"] if reason else doubt.deviation
        promised = float(np.clip(rest * deviation**2 / found.by_chance**2, -deviation, deviation))
        if reason is None:
            assert abs(promised) < 1.1 * SMALLEST_NAMED
            continue
        named += 1
        tolerance = 0.2 if code == "site_variant" else 0.03
        assert deviation == pytest.approx(doubt.deviation, rel=tolerance)
        assert reason.points == pytest.approx(promised, abs=1e-9)
        assert reason.points * rest > 0.0
        # the card of the variant goes by a table of ages, whose rows are blended
        assert first_cause(found, "age_term" if code == "site_variant" else "") == code
    assert named >= 3


@pytest.mark.parametrize("client", near_average()[:4], ids=lambda client: client.sex)
def test_doubtful_errors_are_findings_of_the_visit(client: Client) -> None:
    """Named for the whole visit whatever their share of one difference, and only where they are."""
    middle = float(np.mean(client.readings["triceps_mm"]))
    triple = client.changed(triceps_mm=tuple(round(middle * k, 1) for k in (1.1, 1.25, 1.5)))
    waist = {name: client.readings[name] for name in (*SIZE, "waist_narrowest_cm")}
    planted: dict[str, dict[str, Any]] = {
        "unsteady_reading": triple.tree,
        "waist_stood_in": replace(client, readings=waist).tree,
        "site_variant": client.tree | {"site_variants": {"triceps": "radiale"}},
        "outside_limits": replace(client, age=84.0).tree,
        "scale_end": client.tree,
    }
    planted["scale_end"]["skinfolds_mm"]["triceps"] = f"{middle:.1f}+"
    reconciled = partial(foldspan.reconcile, reference_method=WAIST_SCALES[client.sex])
    clean = {finding.code for finding in reconciled(replace(client, age=35.0).visit()).findings}
    for code, tree in planted.items():
        visit = foldspan.Visit.from_dict(tree, accept_unusual=True)
        assert code in {finding.code for finding in reconciled(visit).findings}
        assert code not in clean


# what holds for every pair --------------------------------------------------------------------------


def adds_up(gap: Pair) -> bool:
    return abs(sum(r.points for r in gap.reasons) + gap.unexplained - gap.difference) < 1e-9


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_contributions_and_the_rest_equal_the_difference_in_examples(path: Path) -> None:
    visit = foldspan.Visit.from_file(str(path), accept_unusual=True)
    found = all_pairs(CaseAnalysis(case_of(visit, SETTINGS)))
    assert all(map(adds_up, found))
    apart = [abs(gap.on_reference_method) for gap in found]
    assert apart == sorted(apart, reverse=True)


@pytest.fixture(scope="session")
def taken_apart() -> list[tuple[Case, list[Pair]]]:
    """100 drawn clients, every two families of each."""
    drawn = draw_many(100, CONSISTENT_SEED, accept_unusual=True)  # the first of ``consistent``
    return [(case, all_pairs(CaseAnalysis(case))) for case in cases(drawn)]


def test_contributions_and_the_rest_equal_the_difference_in_drawn_clients(
    taken_apart: list[tuple[Case, list[Pair]]],
) -> None:
    """And the difference is that of the two families, each as printed; reasons come by size."""
    for case, pairs in taken_apart:
        for found in pairs:
            first, second = (case.answer.families[FAMILIES.index(k), 0] for k in found.between)
            sizes = [abs(reason.points) for reason in found.reasons]
            assert adds_up(found)
            assert found.on_reference_method == pytest.approx(first - second, abs=1e-9)
            assert sizes == sorted(sizes, reverse=True)


def test_nine_pairs_in_ten_drawn_from_the_error_model_are_ordinary(
    taken_apart: list[tuple[Case, list[Pair]]],
) -> None:
    """Errors of the families drawn from their covariance: 90 % stay within what chance allows.

    The covariance comes from ``reconcile``, what chance allows from ``pairs``. Draws of one client are
    alike, so the share is good to about a point: 2 are allowed. A usual gap accuses nobody either.
    """
    rng, alone, beside_usual = np.random.default_rng(6), [], []
    for case, pairs in taken_apart:
        there = list(np.flatnonzero(np.isfinite(case.answer.families[:, 0])))
        covariance = case.answer.covariance[0][np.ix_(there, there)]
        errors = rng.multivariate_normal(np.zeros(len(there)), covariance, 40)
        for found in pairs:
            first, other = (there.index(FAMILIES.index(k)) for k in found.between)
            drawn, usual = errors[:, first] - errors[:, other], reason_of(found, "usual_gap")
            bare, gap = replace(found, reasons=()), usual.points if usual else 0.0
            alone += [replace(bare, on_reference_method=float(each)).is_ordinary for each in drawn]
            beside_usual += [
                replace(found, on_reference_method=float(each) + gap).is_ordinary for each in drawn
            ]
    assert len(alone) > 10_000
    assert np.mean(alone) == pytest.approx(0.90, abs=0.02)
    assert np.mean(beside_usual) > 0.88
