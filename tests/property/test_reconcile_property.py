"""Properties of the reconciliation that must hold for every input, searched with hypothesis.

Examples are derived from the test itself, so a run is repeatable and stores nothing.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import foldspan
from foldspan.catalogue import EQUATIONS, SIRI
from foldspan.catalogue.card import FAMILIES, Equation, Sum
from foldspan.estimation.applicability import LEAVES_OUT
from foldspan.estimation.batch import People
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.evaluate import fat_percents
from foldspan.estimation.families.combine import Z_LIKELY, Z_WIDE, interval
from foldspan.estimation.pipeline import Reconciled, reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.quantities import ANCESTRIES, MEASURED, SEXES, Sex
from foldspan.reference.population import reference_people

SOME = 6
ADULTS = [card for card in EQUATIONS if card.audience not in ("youth", "clinical")]
SITE_VARIANTS = {
    fold: sorted({card.sites[fold] for card in EQUATIONS if fold in card.sites})
    for fold in sorted({fold for card in EQUATIONS for fold in card.sites})
}
SUM_CARDS = [card for card in ADULTS if any(isinstance(name, Sum) for name in card.inputs)]
WEIGHT_CARDS = [card for card in ADULTS if card.method == "mass_height"]
# Jackson (2002), women: 4.35 BMI - 0.05 BMI² turns over at 43.5; every other form later or never
BMI_BELOW_TURNING = (18.5, 42.0)


def steady(examples: int) -> settings:
    return settings(max_examples=examples, deadline=None, derandomize=True, database=None)


def sex_of(card: Equation) -> Sex:
    return "female" if card.sex == "female" else "male"


def pair_of(sex: Sex) -> dict[str, np.ndarray]:
    """The same middling adult twice."""
    return {name: np.full(2, np.median(values)) for name, values in reference_people(sex).items()}


@st.composite
def two_in_order(draw: st.DrawFn, low: float, high: float) -> np.ndarray:
    """Two values in a span, the second clearly above the first."""
    first = draw(st.floats(0.0, 0.95))
    second = draw(st.floats(first + 0.02, 1.0))
    return low + (high - low) * np.array([first, second])


@st.composite
def fold_sums(draw: st.DrawFn) -> tuple[Equation, np.ndarray, float]:
    """A sum equation and two sums inside its limits, so below the turning point of its paper."""
    card = draw(st.sampled_from(SUM_CARDS))
    low, high = card.limits.get("sum", (15.0, 120.0))
    youngest, oldest = card.limits.get("age_years", (18.0, 70.0))
    age = draw(st.floats(max(18.0, youngest), max(18.0, oldest)))
    return card, draw(two_in_order(low, high)), age


@steady(120)
@given(fold_sums())
def test_thicker_folds_never_read_leaner(case: tuple[Equation, np.ndarray, float]) -> None:
    card, sums, age = case
    columns = pair_of(sex_of(card)) | {"age_years": np.full(2, age)}
    for given_sum in (name for name in card.inputs if isinstance(name, Sum)):
        columns |= {name: sums / len(given_sum.names) for name in given_sum.names}
    percent, _ = fat_percents((card,), columns, SIRI)
    assert percent[0, 1] > percent[0, 0]


@steady(120)
@given(
    st.sampled_from(WEIGHT_CARDS),
    two_in_order(*BMI_BELOW_TURNING),
    st.floats(150.0, 195.0),
    st.floats(18.0, 80.0),
)
def test_more_weight_at_one_height_never_reads_leaner(
    card: Equation, bmi: np.ndarray, height: float, age: float
) -> None:
    columns = pair_of(sex_of(card)) | {"age_years": np.full(2, age)}
    columns["height_cm"] = np.full(2, height)
    columns["weight_kg"] = bmi * (height / 100.0) ** 2
    percent, _ = fat_percents((card,), columns, SIRI)
    assert percent[0, 1] > percent[0, 0]


def length_text(value_cm: float, unit: str) -> str:
    """A length as a person would type it in that unit, with all digits that it takes."""
    if unit == "ft":
        feet = int(value_cm // 30.48)
        return f"{feet} ft {(value_cm - feet * 30.48) / 2.54!r} in"
    size = {"mm": 0.1, "cm": 1.0, "m": 100.0, "in": 2.54}[unit]
    return f"{value_cm / size!r} {unit}"


def weight_text(value_kg: float, unit: str) -> str:
    size = {"g": 0.001, "kg": 1.0, "lb": 0.45359237, "st": 6.35029318}[unit]
    return f"{value_kg / size!r} {unit}"


def tenths(low: float, high: float) -> st.SearchStrategy[float]:
    return st.integers(round(10 * low), round(10 * high)).map(lambda n: n / 10)


@st.composite
def visits(draw: st.DrawFn) -> dict[str, Any]:
    """An invented adult with weight, height, a waist and one fold, as plain numbers."""
    return {
        "client": {"code": "K-060", "sex": draw(st.sampled_from(SEXES)), "age_years": 44},
        "mass_height": {"weight_kg": draw(tenths(50, 120)), "height_cm": draw(tenths(152, 195))},
        "girths_cm": {"waist_iliac": draw(tenths(65, 130))},
        "skinfolds_mm": {"triceps": draw(tenths(5, 40)), "subscapular": draw(tenths(5, 45))},
    }


@steady(30)
@given(visits(), st.sampled_from(["mm", "cm", "m", "in", "ft"]), st.sampled_from(["g", "lb", "st"]))
def test_units_change_nothing(tree: dict[str, Any], length: str, mass: str) -> None:
    """The same body in other units (pound and inch of 1959): the same Result, digit for digit.

    Only findings, and the remark that a reading is in doubt, may differ: slips of the pen are looked
    for in the unit that was typed.
    """
    body = tree["mass_height"]
    short = "in" if length == "ft" else length
    texts = tree | {
        "mass_height": {
            "weight_kg": weight_text(body["weight_kg"], mass),
            "height_cm": length_text(body["height_cm"], length),
        },
        "girths_cm": {"waist_iliac": length_text(tree["girths_cm"]["waist_iliac"], short)},
        "skinfolds_mm": {
            name: length_text(fold / 10, short) for name, fold in tree["skinfolds_mm"].items()
        },
    }
    plain, other = (
        foldspan.reconcile(foldspan.Visit.from_dict(visit_tree, accept_unusual=True))
        for visit_tree in (tree, texts)
    )
    assert plain.has_range
    bare = [
        replace(result, findings=(), health=replace(result.health, remark_codes=()))
        for result in (plain, other)
    ]
    assert bare[0] == bare[1]


@steady(30)
@given(visits(), st.integers(50_000, 120_000), st.sampled_from(["density", "dxa"]))
def test_masses_add_up_and_the_budget_too(
    tree: dict[str, Any], grams: int, reference_method: str
) -> None:
    """Fat and lean mass make the weight to the printed digit; block variances make the SE."""
    tree["mass_height"]["weight_kg"] = f"{grams} g"
    visit = foldspan.Visit.from_dict(tree, accept_unusual=True)
    printed = foldspan.reconcile(visit, reference_method=reference_method).to_dict()
    fat, lean = printed["fat_mass_kg"], printed["fat_free_mass_kg"]
    weight = round(grams / 1000, 2)
    assert round(fat["estimate"] + lean["estimate"], 2) == weight
    for name in ("range_80", "range_95"):
        assert round(fat[name][0] + lean[name][1], 2) == weight
        assert round(fat[name][1] + lean[name][0], 2) == weight
    # SE is printed to four decimals: half a digit of it moves the variance by 1e-4 × SE
    se = printed["fat_percent"]["se"]
    assert sum(printed["budget"].values()) == pytest.approx(se**2, abs=2e-4 * se)
    assert sum(family["weight"] for family in printed["methods"]) == pytest.approx(1.0, abs=2e-4)


def people_of(sex: Sex, start: int, taken: list[bool], **more: Any) -> People:
    """Six reference people with only some of the quantities measured."""
    rows = slice(start, start + SOME)
    columns = {name: values[rows].copy() for name, values in reference_people(sex).items()}
    for name, measured in zip(MEASURED, taken, strict=True):
        if not measured:
            columns[name] = np.full(SOME, np.nan)
    columns["is_athlete"] = np.full(SOME, float(more.get("athlete", False)))
    errors = {name: 0.02 * columns[name] for name in MEASURED}
    ancestry = np.full(SOME, more.get("ancestry", ""), dtype=object)
    return People(sex, columns, errors, ancestry, {}, more.get("site_variants", {}))


@st.composite
def anybody(draw: st.DrawFn) -> People:
    """Any sex, any subset of the measurements, any variants of the sites."""
    taken = draw(st.lists(st.booleans(), min_size=len(MEASURED), max_size=len(MEASURED)))
    variants = {
        fold: draw(st.sampled_from(["another", *words]))
        for fold, words in SITE_VARIANTS.items()
        if draw(st.booleans())
    }
    return people_of(
        draw(st.sampled_from(SEXES)),
        draw(st.integers(0, 2_000)),
        taken,
        athlete=draw(st.booleans()),
        ancestry=draw(st.sampled_from(["", *ANCESTRIES])),
        site_variants=variants,
    )


def check_person(answer: Reconciled, person: int) -> None:
    """Covariance, weights and range of one person."""
    usable = (answer.flags[:, person] & int(LEAVES_OUT)) == 0
    present = [
        place
        for place, family in enumerate(FAMILIES)
        if any(card.method == family and usable[row] for row, card in enumerate(answer.cards))
    ]
    combined = answer.combined
    if not present:
        assert np.isnan(combined.estimate[person])
        assert np.isnan(combined.se[person])
        return
    block = answer.covariance[person][np.ix_(present, present)]
    assert np.isfinite(block).all()
    np.testing.assert_allclose(block, block.T, rtol=1e-12)
    np.linalg.cholesky(block)  # raises unless positive definite
    weights, families = combined.weights[:, person], answer.families[:, person]
    assert (weights >= 0.0).all()
    assert weights.sum() == pytest.approx(1.0)
    low, high = families[present].min(), families[present].max()
    assert np.clip(low, 2, 70) - 1e-9 <= combined.estimate[person] <= np.clip(high, 2, 70) + 1e-9
    for place in present:
        own = [
            answer.percent[row, person]
            for row, card in enumerate(answer.cards)
            if usable[row] and card.method == FAMILIES[place]
        ]
        assert min(own) - 1e-9 <= families[place] <= max(own) + 1e-9


@steady(60)
@given(anybody(), st.sampled_from(["density", "dxa"]), st.booleans())
def test_every_subset_of_inputs_gives_a_sound_range(
    people: People, reference_method: Any, with_disputed: bool
) -> None:
    wanted = Settings(reference_method=reference_method, with_disputed=with_disputed)
    answer = reconcile_people(wanted.cards_for(people.sex), people, wanted)
    for person in range(SOME):
        check_person(answer, person)
    combined = answer.combined
    known = np.isfinite(combined.estimate)
    estimate, se = combined.estimate[known], combined.se[known]
    likely, wide = interval(estimate, se, Z_LIKELY), interval(estimate, se, Z_WIDE)
    ordered = np.stack([np.full(estimate.shape, 2.0), wide[0], likely[0], estimate])
    ordered = np.vstack([ordered, likely[1], wide[1], np.full(estimate.shape, 70.0)])
    assert (np.diff(ordered, axis=0) >= 0.0).all()
    assert (se > 0.0).all()
    assert (combined.inflation[known] >= 1.0).all()


def shuffled(cards: tuple[Equation, ...], seed: int) -> tuple[Equation, ...]:
    """Cards in another order, those of one family and lineage still in theirs."""
    order = np.random.default_rng(seed).permutation(len(cards))
    mixed = [cards[place] for place in order]
    queues: dict[tuple[str, str], list[Equation]] = {}
    for card in cards:
        queues.setdefault((card.method, card.lineage), []).append(card)
    return tuple(queues[card.method, card.lineage].pop(0) for card in mixed)


@steady(15)
@given(anybody(), st.integers(0, 10_000))
def test_the_order_of_the_equations_changes_nothing(people: People, seed: int) -> None:
    cards = cards_for(people.sex)
    mixed = shuffled(cards, seed)
    assert sorted(card.key for card in mixed) == sorted(card.key for card in cards)
    before, after = reconcile_people(cards, people), reconcile_people(mixed, people)
    np.testing.assert_allclose(after.families, before.families, rtol=1e-9)
    np.testing.assert_allclose(after.covariance, before.covariance, rtol=1e-8, atol=1e-9)
    np.testing.assert_allclose(after.combined.estimate, before.combined.estimate, rtol=1e-8)
    np.testing.assert_allclose(after.combined.se, before.combined.se, rtol=1e-8)
    place = {card.key: row for row, card in enumerate(mixed)}
    rows = [place[card.key] for card in cards]
    np.testing.assert_array_equal(after.flags[rows], before.flags)
