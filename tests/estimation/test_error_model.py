"""Error model: rules hold for any set of equations, and nothing narrows by more than it tells."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from foldspan.catalogue import EQUATIONS, SIRI
from foldspan.catalogue.card import FAMILIES, Equation
from foldspan.estimation import error_model
from foldspan.estimation.applicability import LEAVES_OUT
from foldspan.estimation.batch import People
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.error_correlation import error_correlation
from foldspan.estimation.error_model import BLOCKS
from foldspan.estimation.evaluate import fat_percents
from foldspan.estimation.families.covariance import (
    AT_ONCE,
    WIDTH,
    Weighted,
    correlated,
    correlated_block,
    require_positive_definite,
    weighted_outer,
)
from foldspan.estimation.known_offsets import Levelling
from foldspan.estimation.pipeline import Reconciled, reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.measurement.waist_conversion import bridge_waists
from foldspan.numerics.ordered_sums import ROWS
from foldspan.problems import FoldspanError
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import BY_NAME, MEASURED, SEXES, WAISTS, Sex
from foldspan.reference.equation_errors import SURVEY_ERRORS
from foldspan.reference.population import reference_people

SOME = 30
FAMILY_SETS = [set(part) for size in range(1, 5) for part in combinations(FAMILIES, size)]
DENSITY, DXA = Settings(reference_method="density"), Settings(reference_method="dxa")


def people_of(
    sex: Sex, count: int = SOME, without: Sequence[str] = (), error: float = 1.0
) -> People:
    """The first reference people, some quantities not measured, with published reading errors."""
    columns = {name: values[:count].copy() for name, values in reference_people(sex).items()}
    for name in without:
        columns[name] = np.full(count, np.nan)
    errors = {
        name: np.array([error * technical_error(name).of(value) for value in columns[name]])
        for name in MEASURED
    }
    return People(sex, columns, errors, np.full(count, "", dtype=object))


def of_families(cards: Sequence[Equation], families: set[str]) -> tuple[Equation, ...]:
    return tuple(card for card in cards if card.method in families)


def some_card(sex: Sex, family: str) -> Equation:
    """The first general card of a family whose digits nobody disputes."""
    return next(
        card
        for card in cards_for(sex)
        if card.method == family
        and card.audience == "general"
        and card.status != "disputed"
        and not card.ancestry
    )


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("families", FAMILY_SETS, ids=lambda families: "+".join(sorted(families)))
def test_error_correlation_is_sound_for_every_set_of_families(sex: Sex, families: set[str]) -> None:
    """Positive semi-definite (rounding of about 100 unit eigenvalues: 1e-9), symmetric, 0 to 1."""
    cards = of_families(cards_for(sex), families)
    correlation = error_correlation(cards, sex)
    np.testing.assert_allclose(correlation, correlation.T, atol=1e-12)
    np.testing.assert_allclose(np.diagonal(correlation), 1.0)
    assert ((correlation >= 0.0) & (correlation <= 1.0 + 1e-12)).all()
    assert np.linalg.eigvalsh(correlation).min() > -1e-9


@pytest.mark.parametrize("sex", SEXES)
def test_error_correlation_is_the_fourth_power_of_the_estimates(sex: Sex) -> None:
    """numpy.corrcoef, for cards that have a value for every reference person."""
    percent, _ = fat_percents(cards_for(sex), reference_people(sex), SIRI)
    complete = np.isfinite(percent).all(axis=1)
    assert complete.mean() > 0.9
    cards = tuple(card for card, keep in zip(cards_for(sex), complete, strict=True) if keep)
    expected = np.corrcoef(percent[complete]) ** 4
    np.testing.assert_allclose(error_correlation(cards, sex), expected, atol=1e-9)


@pytest.mark.parametrize("sex", SEXES)
def test_error_correlations_of_families_are_as_in_open_surveys(sex: Sex) -> None:
    """NHANES 1999-2002, errors of published equations: BMI and waist/height .54-.80, two BMI .63-.97.

    The rule was learnt with a scatter of .11, so the medians may lie that far outside.
    """
    cards = tuple(card for card in cards_for(sex) if card.audience == "general")
    correlation = error_correlation(cards, sex)
    rows = {
        family: [row for row, card in enumerate(cards) if card.method == family]
        for family in FAMILIES
    }
    bmi_waist = correlation[np.ix_(rows["mass_height"], rows["waist_height"])]
    assert 0.54 - 0.11 < np.median(bmi_waist) < 0.80 + 0.11
    bmi = correlation[np.ix_(rows["mass_height"], rows["mass_height"])]
    off = bmi[~np.eye(len(rows["mass_height"]), dtype=bool)]
    assert 0.63 - 0.11 < np.median(off) < 0.97 + 0.11
    folds_bmi = np.median(correlation[np.ix_(rows["skinfold"], rows["mass_height"])])
    assert folds_bmi < np.median(bmi_waist)  # .30-.60 against .54-.80


def test_correlated_block_equals_the_sum_over_all_pairs() -> None:
    """Σ over equations i, j of wᵢ rᵢⱼ wⱼ, written out for one small case."""
    rng = np.random.default_rng(1)
    weighted = rng.uniform(0.0, 2.0, (6, 3))
    weighted[2] = 0.0
    root = rng.normal(size=(6, 8))
    unit = root / np.linalg.norm(root, axis=1, keepdims=True)
    correlation = unit @ unit.T
    belongs = [0, 0, 1, 1, 3, 3]
    members = np.array([[float(home == k) for home in belongs] for k in range(4)])
    expected = np.zeros((3, 4, 4))
    for person in range(3):
        for i in range(6):
            for j in range(6):
                part = weighted[i, person] * correlation[i, j] * weighted[j, person]
                expected[person, belongs[i], belongs[j]] += part
    np.testing.assert_allclose(correlated_block(weighted, correlation, members), expected)


@pytest.mark.parametrize("people", [1, WIDTH - 1, WIDTH, WIDTH * AT_ONCE + 3])
@pytest.mark.parametrize("rarely", [0.0, 0.002, 1.0])
def test_kinds_equal_the_sum_over_all_pairs(people: int, rarely: float) -> None:
    """The same sums for three kinds of error at once, where some cards are nobody's or for few."""
    rng = np.random.default_rng(people)
    families = [0, 0, 1, 0, 1, 3, 0, 3]
    root = rng.normal(size=(8, 9))
    unit = root / np.linalg.norm(root, axis=1, keepdims=True)
    correlation = unit @ unit.T
    in_use = {0: 1.0, 1: rarely, 3: 0.7, 5: 1.0, 6: rarely, 7: 0.5}  # 2 and 4 are nobody's
    given = Weighted(families, 3, people)
    loads = np.zeros((3, 8, people))
    for row, share in in_use.items():
        weights = rng.uniform(0.1, 1.0, people) * (rng.random(people) < share)
        sds = rng.uniform(1.0, 4.0, people), 2.5, rng.uniform(0.0, 3.0, people)
        given.add(row, weights, sds)
        for kind, spread in enumerate(sds):
            loads[kind, row] = weights * spread
    belongs = np.equal.outer(np.arange(4), families).astype(float)
    for kind, found in enumerate(correlated(given, correlation)):
        by_family = belongs[:, :, None] * loads[kind]
        expected = np.einsum("ain,ij,bjn->nab", by_family, correlation, by_family)
        np.testing.assert_allclose(found.as_array(), expected, rtol=1e-12, atol=1e-12)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("settings", [DENSITY, DXA], ids=["density", "dxa"])
def test_blocks_sum_to_the_covariance_and_the_budget_to_the_variance(
    sex: Sex, settings: Settings
) -> None:
    answer = reconcile_people(cards_for(sex), people_of(sex), settings)
    assert set(answer.blocks) == set(BLOCKS)
    total = sum(answer.blocks.values())
    np.testing.assert_allclose(answer.covariance, total, rtol=1e-12)
    w = answer.combined.weights
    parts = [np.einsum("jn,njk,kn->n", w, block, w) for block in answer.blocks.values()]
    np.testing.assert_allclose(sum(parts), answer.combined.variance_within, rtol=1e-10)
    assert min(part.min() for part in parts) >= -1e-12


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("settings", [DENSITY, DXA], ids=["density", "dxa"])
def test_nothing_narrows_below_what_all_methods_share(sex: Sex, settings: Settings) -> None:
    """However many equations and families: the shared error is in every one, so it stays.

    The shared term is a point at least on either scale, so the bound is no zero.
    """
    shared = np.sqrt(error_model.shared_variance(settings.reference_method))
    assert shared >= 1.0
    for families in FAMILY_SETS:
        answer = reconcile_people(of_families(cards_for(sex), families), people_of(sex), settings)
        assert np.nanmin(answer.combined.se) > shared


def smallest_variance(first_se: float, second_se: float, r: float) -> float:
    """Best that two errors with correlation ``r`` allow (Bates & Granger 1969, equation 1)."""
    return (
        first_se**2
        * second_se**2
        * (1.0 - r**2)
        / (first_se**2 + second_se**2 - 2.0 * r * first_se * second_se)
    )


@pytest.mark.parametrize("sex", SEXES)
def test_a_second_method_narrows_no_more_than_its_correlation_allows(sex: Sex) -> None:
    for method, other in combinations(FAMILIES, 2):
        cards = (some_card(sex, method), some_card(sex, other))
        answer = reconcile_people(cards, people_of(sex))
        pair = [FAMILIES.index(method), FAMILIES.index(other)]
        both = np.flatnonzero(np.isfinite(answer.families[pair]).all(axis=0))
        assert both.size > SOME / 2  # a formula may have no sound value for a body far from its own
        for person in both:
            c = answer.covariance[person][np.ix_(pair, pair)]
            first, second = np.sqrt(np.diagonal(c))
            bound = smallest_variance(first, second, c[0, 1] / (first * second))
            variance = answer.combined.variance_within[person]
            assert variance >= bound * (1.0 - 1e-9)
            assert variance <= min(first, second) ** 2 * (1.0 + 1e-9)


def copies(card: Equation, count: int) -> tuple[Equation, ...]:
    """The card and ``count`` copies that claim to be built on other people."""
    twins = (replace(card, key=f"twin{i}", lineage=f"twin{i}") for i in range(count))
    return (card, *twins)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("family", FAMILIES)
def test_copies_of_an_equation_give_no_gain(
    sex: Sex, family: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Alone in its family: exactly none, where independence would promise a third for nine copies."""
    card = some_card(sex, family)
    for twin in copies(card, 9)[1:]:  # what the survey knows goes by key
        monkeypatch.setitem(SURVEY_ERRORS, twin.key, SURVEY_ERRORS.get(card.key, {}))
    alone = reconcile_people((card,), people_of(sex)).combined
    for count in (1, 9):
        with_copies = reconcile_people(copies(card, count), people_of(sex)).combined
        np.testing.assert_allclose(with_copies.se, alone.se, atol=1e-9)
        np.testing.assert_allclose(with_copies.estimate, alone.estimate, atol=1e-9)


@pytest.mark.parametrize("sex", SEXES)
def test_a_copy_beside_the_whole_catalogue_gives_almost_no_gain(sex: Sex) -> None:
    """A copy only shifts weights inside its family: 0.2 of about 5 points at the very most."""
    people, cards = people_of(sex, 20), cards_for(sex)
    before = np.sqrt(reconcile_people(cards, people).combined.variance_within)
    for family in FAMILIES:
        for card in [card for card in cards if card.method == family][::12]:
            twins = (*cards, replace(card, key="twin", lineage="twin"))
            after = np.sqrt(reconcile_people(twins, people).combined.variance_within)
            np.testing.assert_allclose(after, before, atol=0.2)


@pytest.mark.parametrize("sex", SEXES)
def test_a_copy_on_the_same_people_is_no_second_witness(sex: Sex) -> None:
    card = some_card(sex, "skinfold")
    cards = (*cards_for(sex), replace(card, key="twin"))
    before = reconcile_people(cards_for(sex), people_of(sex))
    after = reconcile_people(cards, people_of(sex))
    assert (after.flags[-1] & int(LEAVES_OUT) != 0).all()
    np.testing.assert_allclose(after.combined.se, before.combined.se, atol=1e-12)


def numeric_reading_block(
    cards: tuple[Equation, ...], people: People, answer: Reconciled
) -> np.ndarray:
    """J S Jᵀ with J from central differences of the family means at fixed weights."""
    length = answer.covariance.shape[0]
    members = np.array([[float(card.method == family) for card in cards] for family in FAMILIES])

    def families(name: str, step: np.ndarray) -> np.ndarray:
        moved = {**people.columns, name: people.columns[name] + step}
        percent, _ = fat_percents(cards, bridge_waists(moved, people.sex).columns, SIRI)
        levelling = Levelling(people.columns, people.sex, "dxa")
        for card, value in zip(cards, percent, strict=True):
            value -= levelling.offset(card, value)
        return members @ (answer.weights * np.where(answer.weights > 0, percent, 0.0))

    block = np.zeros((length, 4, 4))
    for name in MEASURED:
        step = 1e-4 * np.nan_to_num(people.columns[name])
        if not step.any():
            continue
        slope = (families(name, step) - families(name, -step)) / (2.0 * step)
        load = slope * people.reading_se[name]
        block += np.einsum("jn,kn->njk", load, load)
    return block


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize(
    "without", [(), tuple(name for name in WAISTS if name != "waist_iliac_cm")], ids=["all", "one"]
)
def test_tester_block_equals_finite_differences(sex: Sex, without: tuple[str, ...]) -> None:
    """Equations that share a reading share its error, also where one waist stands in for others."""
    cards, people = cards_for(sex), people_of(sex, 10, without)
    answer = reconcile_people(cards, people)
    expected = numeric_reading_block(cards, people, answer)
    np.testing.assert_allclose(answer.blocks["tester"], expected, rtol=1e-4, atol=1e-6)


@pytest.mark.parametrize("sex", SEXES)
def test_a_waist_that_stood_in_adds_its_spread(sex: Sex) -> None:
    """One girth equation, its waist from a neighbour: exactly (slope × spread)² is added."""
    card = next(
        card for card in cards_for(sex) if card.quantities == ("waist_midpoint_cm", "age_years")
    )
    taken = [name for name in BY_NAME if name not in ("waist_iliac_cm", "age_years")]
    people = people_of(sex, 5, without=taken)
    answer = reconcile_people((card,), people)
    slope = {"female": 0.439, "male": 0.567}[sex]  # Lean 1996, typed again in tests/papers
    spread = {"female": 3.7, "male": 2.7}[sex]  # Pinho 2018
    girth = FAMILIES.index("girth")
    added = answer.blocks["waist_site"][:, girth, girth]
    np.testing.assert_allclose(added, (slope * spread) ** 2, rtol=1e-9)


def test_moving_between_the_scales_is_one_step_either_way() -> None:
    cards = cards_for("female")
    up, down = (
        error_model.reference_shifts(cards, reference_method)
        for reference_method in ("dxa", "density")
    )
    dense = np.array([card.reference_method == "density" for card in cards])
    assert (up[dense] == 3.0).all()  # about 3 points, NHANES 1999-2002 (design)
    assert (down[~dense] == -3.0).all()
    assert (up[~dense] == 0.0).all()
    assert (down[dense] == 0.0).all()


def test_a_card_without_a_printed_error_gets_the_largest_of_its_kind() -> None:
    silent = replace(
        some_card("male", "mass_height"), key="silent", reference_method="dxa", see=None
    )
    unread, nobody = np.full(2, np.nan), np.zeros(2, dtype=bool)
    filled = np.sqrt(error_model.published(silent, unread, "male", nobody))
    printed = [
        card.see
        for card in EQUATIONS
        if card.method == "mass_height"
        and card.see is not None
        and card.see_unit == "fat_percent"
        and card.audience in ("general", "athlete", "obese")
        and card.status != "disputed"
    ]
    assert (filled >= max(printed)).all()
    assert (filled < 10.0).all()


def test_small_samples_carry_worse() -> None:
    card = some_card("male", "girth")
    own = [error_model.transfer_sd(replace(card, n=n)) for n in (5_000, 500, 499, 100, 99, 20)]
    assert own == sorted(own)
    assert own[0] < own[-1]
    assert error_model.transfer_sd(replace(card, n=None)) == own[-1]


@pytest.mark.parametrize(
    "matrix",
    [
        [[4.0, 5.0], [5.0, 4.0]],  # correlation above one
        [[0.0, 0.0], [0.0, 4.0]],  # an equation without any error
        [[-1.0, 0.0], [0.0, 4.0]],
        [[np.nan, 0.0], [0.0, 4.0]],
        [[np.inf, 0.0], [0.0, 4.0]],
    ],
)
def test_an_impossible_covariance_stops_with_its_code(matrix: list[list[float]]) -> None:
    sound = np.array([[9.0, 4.0], [4.0, 9.0]])
    require_positive_definite(sound[None])
    with pytest.raises(FoldspanError) as caught:
        require_positive_definite(np.stack([sound, np.array(matrix)]))
    assert [problem.code for problem in caught.value.problems] == ["E502"]


def test_every_card_is_in_one_family() -> None:
    rows = error_model.family_rows(EQUATIONS)
    assert (rows.sum(axis=0) == 1.0).all()
    assert np.argmax(rows, axis=0).tolist() == error_model.families_of(EQUATIONS)


def test_products_of_terms_equal_the_sum_over_all_pairs() -> None:
    """More people than are worked at once, two sets of terms, each counted by its share."""
    rng, people = np.random.default_rng(7), 3 * WIDTH + 5
    families = [0, 0, 1, 2, 2, 3]
    weights, shares = rng.uniform(0.0, 1.0, (6, people)), rng.uniform(0.0, 1.0, (2, people))
    terms = rng.normal(size=(2, ROWS, 6))
    weighted = Weighted(families, 1, people)
    for row, loads in enumerate(weights):
        weighted.add(row, loads, [1.0])
    members = np.array([[float(family == one) for one in families] for family in range(4)])
    sums = np.einsum("ste,en,fe->stfn", terms, weights, members)
    expected = np.einsum("stfn,stgn,sn->nfg", sums, sums, shares)
    np.testing.assert_allclose(weighted_outer(weighted, terms, shares).as_array(), expected)
