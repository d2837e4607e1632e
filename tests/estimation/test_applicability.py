"""Applicability: every flag can come about and go away, and no error jumps at the edge of a sample."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

import foldspan
from crowds import crowd, some_of
from foldspan.catalogue import EQUATIONS, equation_by_key
from foldspan.catalogue.card import Equation, Sum
from foldspan.estimation.applicability import (
    LEAVES_OUT,
    POINTS_PER_DECADE,
    Fit,
    TargetPopulation,
    beyond,
    beyond_limits,
    codes,
    outside,
)
from foldspan.estimation.batch import People
from foldspan.estimation.default_cards import REASONS, cards_for
from foldspan.estimation.evaluate import Inputs
from foldspan.estimation.on_request import ON_REQUEST
from foldspan.estimation.pipeline import reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.quantities import SEXES, WAISTS, Sex
from foldspan.reference.population import indicators, reference_people
from foldspan.text.en.reconcile import LEFT_OUT_WORDS

STEPS = 4_001


def body(sex: Sex, **changed: float) -> dict[str, np.ndarray]:
    """One middling adult of 30: medians of the reference people, with some values changed."""
    people = reference_people(sex)
    columns = {name: np.array([np.median(values)]) for name, values in people.items()}
    columns |= {name: np.array([value]) for name, value in changed.items() if name in columns}
    columns["age_years"] = np.array([changed.get("age_years", 30.0)])
    return columns


def flags_of(
    card: Equation,
    sex: Sex = "male",
    *,
    ancestry: str = "",
    settings: Settings | None = None,
    others: tuple[Equation, ...] = (),
    at_least: tuple[str, ...] = (),
    site_variants: dict[str, str] | None = None,
    **changed: float,
) -> Fit:
    """Flags of ``card`` for one person, ``others`` standing before it in the catalogue."""
    people = People(
        sex,
        body(sex, **changed),
        {},
        np.array([ancestry], dtype=object),
        {name: np.array([True]) for name in at_least},
        site_variants or {},
    )
    return Fit(int(reconcile_people((*others, card), people, settings).flags[-1, 0]))


def first(**wanted: Any) -> Equation:
    """The first card of the catalogue with these attributes."""
    return next(
        card
        for card in EQUATIONS
        if all(getattr(card, name) == value for name, value in wanted.items())
    )


SUM7 = equation_by_key("jackson_pollock1978_male_7site")
WAIST = equation_by_key("lean1996_male_waist")
YOUTH = first(audience="youth", sex="male")
ATHLETE = first(audience="athlete", sex="male", status="verified")
OBESE = first(audience="obese", sex="male")
DISPUTED = first(status="disputed", sex="male", audience="general")
OTHER = next(card for card in EQUATIONS if card.ancestry)
OTHER_SEX: Sex = "female" if OTHER.sex == "female" else "male"
CLINICAL = replace(WAIST, audience="clinical")
ILIAC_WAIST = {name: float("nan") for name in WAISTS if name != "waist_iliac_cm"}

# flag → how it comes about, and a like person or card without it
CASES: dict[Fit, tuple[Callable[[], Fit], Callable[[], Fit]]] = {
    Fit.MISSING_INPUT: (
        lambda: flags_of(SUM7, triceps_mm=float("nan")),
        lambda: flags_of(SUM7, calf_mm=float("nan")),
    ),
    Fit.OUTSIDE_AGE: (
        lambda: flags_of(SUM7, age_years=62.1),
        lambda: flags_of(SUM7, age_years=61.9),  # 61 completed years are in the sample of 18 to 61
    ),
    Fit.OUTSIDE_SPAN: (
        lambda: flags_of(SUM7, thigh_mm=75.0, abdominal_mm=75.0, triceps_mm=75.0),
        lambda: flags_of(SUM7),
    ),
    Fit.SITE_DIFFERS: (
        lambda: flags_of(SUM7, site_variants={"abdominal_mm": "vertical_5cm"}),
        lambda: flags_of(SUM7, site_variants={"abdominal_mm": "vertical_2cm"}),
    ),
    Fit.DISPUTED: (
        lambda: flags_of(DISPUTED),
        lambda: flags_of(DISPUTED, settings=Settings(with_disputed=True)),
    ),
    Fit.SCALE_END: (
        lambda: flags_of(SUM7, at_least=("thigh_mm",)),
        lambda: flags_of(SUM7, at_least=("calf_mm",)),
    ),
    Fit.WAIST_BRIDGED: (
        lambda: flags_of(WAIST, **ILIAC_WAIST),
        lambda: flags_of(WAIST),
    ),
    Fit.YOUTH_ONLY: (lambda: flags_of(YOUTH), lambda: flags_of(SUM7)),
    Fit.ATHLETES_ONLY: (
        lambda: flags_of(ATHLETE, is_athlete=0.0),
        lambda: flags_of(ATHLETE, is_athlete=1.0),
    ),
    Fit.OBESITY_ONLY: (
        lambda: flags_of(OBESE, weight_kg=29.9 * 1.8**2, height_cm=180.0),
        lambda: flags_of(
            OBESE,
            weight_kg=30.1 * 1.8**2,
            height_cm=180.0,
            waist_narrowest_cm=125.0,
            abdomen_navel_cm=130.0,
        ),
    ),
    Fit.CLINICAL_ONLY: (lambda: flags_of(CLINICAL), lambda: flags_of(WAIST)),
    Fit.OTHER_ANCESTRY: (
        lambda: flags_of(OTHER, OTHER_SEX),
        lambda: flags_of(OTHER, OTHER_SEX, ancestry=OTHER.ancestry),
    ),
    Fit.SAME_SAMPLE: (
        lambda: flags_of(replace(SUM7, key="second"), others=(SUM7,)),
        lambda: flags_of(replace(SUM7, key="second", lineage="other"), others=(SUM7,)),
    ),
    Fit.NO_SOUND_VALUE: (
        lambda: flags_of(WAIST, waist_midpoint_cm=260.0),
        lambda: flags_of(WAIST, waist_midpoint_cm=100.0),
    ),
}


@pytest.mark.parametrize("flag", CASES, ids=lambda flag: flag.name)
def test_flag_comes_about_and_goes_away(flag: Fit) -> None:
    with_it, without_it = CASES[flag]
    assert with_it() & flag
    assert not without_it() & flag


def test_every_flag_but_the_other_sex_is_produced_above() -> None:
    assert set(CASES) == set(Fit) - {Fit.WRONG_SEX}


def test_equations_for_the_other_sex_are_listed_with_their_reason() -> None:
    visit = foldspan.Visit.from_dict(
        {
            "client": {"code": "K-051", "sex": "female", "age_years": 30},
            "mass_height": {"weight_kg": 64.0, "height_cm": 168.0},
        }
    )
    listed = {equation.key: equation for equation in foldspan.reconcile(visit).equations}
    assert set(listed) == {card.key for card in EQUATIONS}
    for card in EQUATIONS:
        assert ("wrong_sex" in listed[card.key].left_out_because) == (card.sex == "male")


def test_a_disputed_card_that_was_left_out_does_not_silence_its_sample() -> None:
    """Of two cards on the same people the second speaks where the first may not."""
    first_card = replace(SUM7, key="first", status="disputed")
    assert not flags_of(SUM7, others=(first_card,)) & LEAVES_OUT
    allowed = Settings(with_disputed=True)
    assert flags_of(SUM7, others=(first_card,), settings=allowed) & Fit.SAME_SAMPLE


def test_codes_name_every_bit_and_every_bit_has_words() -> None:
    every = 0
    for flag in Fit:
        every |= flag.value
        assert codes(flag.value) == (str(flag.name).lower(),)
    assert len(codes(every)) == len(Fit)
    # reasons that are no bits: they lie in the catalogue, not in the person
    assert {*codes(every), ON_REQUEST, *REASONS} == set(LEFT_OUT_WORDS)


def test_distance_outside_by_hand() -> None:
    value = np.array([10.0, 17.0, 20.0, 61.0, 64.5, np.nan])
    expected = np.array([7.0, 0.0, 0.0, 0.0, 3.5, np.nan])
    np.testing.assert_allclose(beyond(value, 17.0, 61.0), expected)


def test_each_limit_holds_for_itself() -> None:
    """Inside, too old, too thick, both, and somebody whose thigh nobody measured."""
    columns = {name: np.repeat(value, 5) for name, value in body("male").items()}
    columns["age_years"] = np.array([30.0, 72.0, 30.0, 72.0, 30.0])
    columns["thigh_mm"] = columns["thigh_mm"] + np.array([0.0, 0.0, 300.0, 300.0, np.nan])
    flags, added = outside(SUM7, columns)
    old, thick = int(Fit.OUTSIDE_AGE), int(Fit.OUTSIDE_SPAN)
    assert flags.tolist() == [0, old, thick, old | thick, 0]
    # one decade beyond 61 completed years
    np.testing.assert_allclose(added[:2], [0.0, POINTS_PER_DECADE])
    np.testing.assert_allclose(added[3], np.hypot(added[1], added[2]))
    assert added[4] == 0.0


def test_how_far_somebody_is_outside_is_told_limit_by_limit() -> None:
    assert beyond_limits(SUM7, body("male")) == {}
    high = SUM7.limits["sum"][1]
    folds = next(given.names for given in SUM7.inputs if isinstance(given, Sum))
    thick = dict.fromkeys(folds, high / len(folds)) | {"thigh_mm": high / len(folds) + 0.5}
    told = beyond_limits(SUM7, body("male", age_years=72.5, **thick))
    assert told == pytest.approx({"age_years": 10.5, "sum": 0.5})
    assert beyond_limits(SUM7, body("male", thigh_mm=float("nan"))) == {}


@pytest.mark.parametrize("card", EQUATIONS, ids=lambda card: card.key)
def test_whom_a_card_was_not_made_for(card: Equation) -> None:
    """An adult of no stated background, no athlete and not large: each reason once, and no other."""
    inputs = Inputs(body("male", weight_kg=75.0, height_cm=180.0) | indicators("male", 1))
    excluded = TargetPopulation(inputs, np.array([""], dtype=object)).wrong(card)
    expected = {
        Fit.DISPUTED: card.status == "disputed",
        Fit.YOUTH_ONLY: card.audience == "youth",
        Fit.CLINICAL_ONLY: card.audience == "clinical",
        Fit.ATHLETES_ONLY: card.audience == "athlete",
        Fit.OBESITY_ONLY: card.audience == "obese",
        Fit.OTHER_ANCESTRY: bool(card.ancestry),
    }
    assert {flag for flag, who in excluded.items() if who is True} == {
        flag for flag, holds in expected.items() if holds
    }


def along(card: Equation, limit: str) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """People who differ in one limited value only, from two widths below to two above its span."""
    low, high = card.limits[limit]
    sex: Sex = "male" if card.sex == "male" else "female"
    reach = 2.0 * (high - low)
    values = np.linspace(max(low - reach, 0.1), high + reach, STEPS)
    columns = {name: np.full(STEPS, value[0]) for name, value in body(sex).items()}
    if limit == "bmi":
        columns["weight_kg"] = values * (columns["height_cm"] / 100.0) ** 2
    elif limit == "sum":
        folds = next(given.names for given in card.inputs if isinstance(given, Sum))
        columns |= {name: values / len(folds) for name in folds}
    else:
        columns[limit] = values
    return values, columns


@pytest.mark.parametrize("card", EQUATIONS, ids=lambda card: card.key)
def test_added_error_grows_from_every_edge_without_a_jump(card: Equation) -> None:
    for limit, (low, high) in card.limits.items():
        values, columns = along(card, limit)
        flags, added = outside(card, columns)
        high += 1.0 if limit == "age_years" else 0.0  # the last completed year belongs
        below, inside, above = values < low, (values >= low) & (values <= high), values > high
        assert np.ptp(added[inside]) == 0.0
        assert (np.diff(added[above]) > 0.0).all()
        assert (np.diff(added[below]) < 0.0).all()
        # five widths in 4,000 steps of at most 10 points a width: .0125 a step
        assert np.abs(np.diff(added)).max() < 0.02
        flag = Fit.OUTSIDE_AGE if limit == "age_years" else Fit.OUTSIDE_SPAN
        if added[inside][0] == 0.0:  # no other limit is passed
            np.testing.assert_array_equal(flags & int(flag) != 0, ~inside)
        assert added[-1] > added[inside][0] + 0.5  # and it costs something


def equation_sd(card: Equation, columns: dict[str, np.ndarray]) -> np.ndarray:
    length = columns["weight_kg"].size
    whole = columns | indicators("male", length)
    people = People("male", whole, {}, np.full(length, "", dtype=object))
    return np.asarray(
        reconcile_people((card,), people, Settings(reference_method="density")).equation_sd[0]
    )


def test_the_error_of_an_equation_bends_but_does_not_break_at_the_edge() -> None:
    """Added in quadrature, so the slope starts at zero: .01 of a year beyond moves nothing visible."""
    values, columns = along(WAIST, "age_years")
    deviation = equation_sd(WAIST, columns)
    edge = WAIST.limits["age_years"][1] + 1.0
    outside_it = values > edge
    assert (np.diff(deviation[outside_it]) > 0.0).all()
    assert np.ptp(deviation[(values > WAIST.limits["age_years"][0]) & ~outside_it]) < 1e-12
    close = {name: np.repeat(value[:1], 2) for name, value in columns.items()}
    close["age_years"] = np.array([edge, edge + 0.01])
    low, high = equation_sd(WAIST, close)
    assert 0.0 <= high - low < 1e-5


def test_the_answer_does_not_jump_where_equations_leave_their_ages() -> None:
    """All equations, men of 61.5 to 62.5 years: the 7-site sums end there; .001 of a year a step."""
    ages = np.linspace(61.5, 62.5, 1_001)
    columns = {name: np.full(ages.size, value[0]) for name, value in body("male").items()}
    people = People("male", columns | {"age_years": ages}, {}, np.full(ages.size, "", dtype=object))
    combined = reconcile_people(cards_for("male"), people).combined
    assert np.abs(np.diff(combined.se)).max() < 1e-3
    assert np.abs(np.diff(combined.estimate)).max() < 1e-3


@pytest.mark.parametrize("with_disputed", [False, True])
@pytest.mark.parametrize("sex", SEXES)
def test_what_everybody_lacks_changes_no_flag_and_no_estimate(
    sex: Sex, with_disputed: bool
) -> None:
    """Alone most cards lack an input of everybody; in the crowd somebody has it."""
    settings = Settings(reference_method="dxa", with_disputed=with_disputed)
    cards, many = settings.cards_for(sex), crowd(sex, 0.7, variants=True)
    several = some_of(many, np.arange(24))
    together = reconcile_people(cards, several, settings)
    lacking = 0
    for row in range(24):
        alone = reconcile_people(cards, some_of(many, np.array([row])), settings)
        assert alone.flags[:, 0].tolist() == together.flags[:, row].tolist()
        for name in ("percent", "weights", "as_printed"):
            ours, theirs = getattr(alone, name)[:, 0], getattr(together, name)[:, row]
            assert np.array_equal(ours, theirs, equal_nan=True), name
        lacking += int(np.isnan(alone.equation_sd[:, 0]).sum())
    assert lacking > 24
