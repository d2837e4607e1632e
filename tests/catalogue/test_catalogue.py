"""The catalogue as a whole: complete, typed twice, sourced, and usable by somebody."""

from __future__ import annotations

import importlib
import re
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from foldspan.catalogue import EQUATIONS, conversion_by_key, equation_by_key
from foldspan.catalogue.card import (
    FAMILIES,
    REFERENCE_METHODS,
    Bmi,
    Checked,
    Equation,
    Sum,
)
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.catalogue.printed_error import printed_points
from foldspan.catalogue.sources import BY_KEY, SOURCES
from foldspan.estimation.applicability import LEAVES_OUT, Fit
from foldspan.estimation.batch import People
from foldspan.estimation.default_cards import cards_for, cards_on_request
from foldspan.estimation.evaluate import arguments, needed
from foldspan.estimation.pipeline import reconcile_people
from foldspan.estimation.settings import Settings
from foldspan.quantities import BY_NAME, SEXES, Sex
from foldspan.reference.population import indicators, reference_people

PAPERS = Path(__file__).parents[1] / "papers"
INDICATORS = frozenset(indicators("male", 1))
each_card = pytest.mark.parametrize("card", EQUATIONS, ids=lambda card: card.key)


def test_there_are_at_least_a_hundred_cards_in_every_corner() -> None:
    """The issue asks for 100 published equations and for women and men in all four families."""
    assert len(EQUATIONS) >= 100
    adults = [card for card in EQUATIONS if card.audience == "general"]
    assert len(adults) >= 100
    for sex in SEXES:
        for family in FAMILIES:
            assert any(card.method == family and card.sex in (sex, "both") for card in adults)


def test_keys_are_unique_across_equations_and_conversions() -> None:
    keys = Counter([card.key for card in EQUATIONS] + [card.key for card in CONVERSIONS])
    assert [key for key, count in keys.items() if count > 1] == []
    assert all(re.fullmatch(r"[a-z0-9_A-C]+", key) for key in keys)


def test_cards_are_found_by_their_key() -> None:
    assert all(equation_by_key(card.key) is card for card in EQUATIONS)
    assert all(conversion_by_key(card.key) is card for card in CONVERSIONS)
    with pytest.raises(KeyError):
        equation_by_key("nobody1900_male")
    with pytest.raises(KeyError):
        conversion_by_key("nobody1900")


def test_every_source_is_known_and_every_known_source_is_used() -> None:
    named = {card.source for card in EQUATIONS} | {card.source for card in CONVERSIONS}
    assert named == set(BY_KEY)
    assert len(SOURCES) == len(BY_KEY)


def test_sources_tell_what_was_seen_and_identifiers_have_their_form() -> None:
    """A digital object identifier starts with 10., a prefix of four to nine digits and a slash."""
    for source in SOURCES:
        assert source.citation
        assert source.seen, source.key
        assert not source.doi or re.fullmatch(r"10\.\d{4,9}/\S+", source.doi), source.key


def test_conversions_use_and_carry_what_they_should() -> None:
    for card in CONVERSIONS:
        assert card.ages[0] < card.ages[1]
        assert card.sex in ("female", "male", "both")
        assert card.where


def dotted_name(path: Path) -> str:
    """The name under which a file of tests/papers is imported."""
    return ".".join(path.relative_to(PAPERS.parent).with_suffix("").parts)


def typed_in_papers() -> dict[str, list[str]]:
    """Key → the files of tests/papers that type it; a file may hold equations or conversions."""
    found: dict[str, list[str]] = {}
    for path in sorted(PAPERS.rglob("test_*.py")):
        module = importlib.import_module(dotted_name(path))
        for key in getattr(module, "TYPED", {}):
            found.setdefault(key, []).append(path.name)
    return found


def test_every_card_is_typed_a_second_time_in_exactly_one_file() -> None:
    typed = typed_in_papers()
    catalogue = {card.key for card in EQUATIONS} | {card.key for card in CONVERSIONS}
    assert {key: files for key, files in typed.items() if len(files) > 1} == {}
    assert sorted(catalogue - set(typed)) == []
    assert sorted(set(typed) - catalogue) == []


def test_every_file_of_papers_runs_its_second_typing() -> None:
    """A file that types numbers but builds no test from them would check nothing."""
    for path in sorted(PAPERS.rglob("test_*.py")):
        module = importlib.import_module(dotted_name(path))
        if getattr(module, "TYPED", None):
            tests = [name for name in vars(module) if name.startswith("test_second_typing")]
            assert tests, path.name


@each_card
def test_card_speaks_the_vocabulary(card: Equation) -> None:
    assert card.method in FAMILIES
    assert card.reference_method in REFERENCE_METHODS
    assert card.sex in (*SEXES, "both")
    assert isinstance(card.checked, Checked)
    assert card.where
    assert card.population
    assert card.criterion
    assert card.lineage
    assert card.not_for, "every card says what it must not be used for"
    for given in card.inputs:
        names = (given,) if isinstance(given, str) else given.names
        assert all(name in BY_NAME or name in INDICATORS for name in names)
        if isinstance(given, Sum):
            assert len(set(names)) == len(names) > 1
            assert all(BY_NAME[name].kind == "skinfold" for name in names)
    assert card.n is None or card.n > 0
    assert card.see is None or 0.5 < (printed_points(card) or 0.0) < 8.0


def check_limits(card: Equation) -> None:
    sums = [given for given in card.inputs if isinstance(given, Sum)]
    for name, (low, high) in card.limits.items():
        assert low < high
        assert name in ("sum", "bmi") or name in BY_NAME
        if name == "sum":
            assert len(sums) == 1, "which sum is limited must be plain"
        # a limit on what a card does not need could not be held against every person it serves
        assert name in ("sum", "bmi", "age_years") or name in card.quantities
    assert set(card.sites) <= set(card.quantities)


def check_family(card: Equation) -> None:
    """Families are methods that share inputs (contract): folds, tape, weight for height, waist."""
    kinds = {BY_NAME[name].kind for name in card.quantities}
    if card.method == "mass_height":
        assert kinds <= {"age", "mass", "height"}
        assert {"weight_kg", "height_cm"} <= set(card.quantities) or kinds <= {"age", "mass"}
    if card.method == "waist_height":
        assert "height" in kinds
        assert "girth" in kinds
        assert "skinfold" not in kinds
    if card.method == "girth":
        assert "girth" in kinds
        assert "skinfold" not in kinds
    if card.method == "skinfold":
        assert "skinfold" in kinds
    if any(isinstance(given, Bmi) for given in card.inputs):
        assert card.method != "waist_height"


def test_lineages_of_like_cards_stay_together() -> None:
    """One lineage is one sample: within it, and a family, the criterion's scale is one."""
    for lineage in {card.lineage for card in EQUATIONS}:
        cards = [card for card in EQUATIONS if card.lineage == lineage]
        assert len({(card.reference_method, card.audience) for card in cards}) == 1, lineage
        for family in {card.method for card in cards}:
            sexes = {card.sex for card in cards if card.method == family}
            assert sexes <= {"both"} or "both" not in sexes, lineage


def check_lengths(card: Equation) -> None:
    """A formula takes arrays of any length, also of nobody, and changes none of its arguments."""
    sex: Sex = "female" if card.sex == "female" else "male"
    for length in (0, 1, 5):
        columns = {name: values[:length] for name, values in reference_people(sex).items()}
        given = arguments(card, columns)
        copies = [value.copy() for value in given]
        output = np.asarray(card.formula(*given))
        assert output.shape == (length,)
        for before, after in zip(copies, given, strict=True):
            np.testing.assert_array_equal(before, after)


@each_card
def test_card_holds_together(card: Equation) -> None:
    check_limits(card)
    check_family(card)
    check_lengths(card)


def usable_rows(sex: Sex, ancestry: str, *, athlete: bool) -> dict[str, np.ndarray]:
    """Bits by key for all reference people, whether or not another card speaks for the sample."""
    columns = dict(reference_people(sex))
    count = columns["weight_kg"].size
    columns["is_athlete"] = np.full(count, float(athlete))
    people = People(sex, columns, {}, np.full(count, ancestry, dtype=object))
    cards = (*cards_for(sex), *cards_on_request(sex))
    answer = reconcile_people(cards, people, Settings(with_disputed=True))
    bits = answer.flags & ~int(Fit.SAME_SAMPLE)
    return {card.key: bits[row] for row, card in enumerate(answer.cards)}


@pytest.mark.parametrize("sex", SEXES)
def test_every_adult_card_works_for_somebody(sex: Sex) -> None:
    """At least one reference person gets a sound value, and most cards have some inside limits."""
    outside = int(Fit.OUTSIDE_AGE | Fit.OUTSIDE_SPAN)
    inside, adults = 0, 0
    plain = usable_rows(sex, "", athlete=True)
    stated = usable_rows(sex, "asian", athlete=True)  # forms that read an ancestry give way else
    cards = (*cards_for(sex), *cards_on_request(sex))
    special = {
        ancestry: usable_rows(sex, ancestry, athlete=True)
        for ancestry in {card.ancestry for card in cards if card.ancestry}
    }
    for card in cards:
        if card.audience in ("youth", "clinical"):
            continue
        bits = special[card.ancestry][card.key] if card.ancestry else plain[card.key]
        if not (bits & int(LEAVES_OUT) == 0).any():
            bits = stated[card.key]
        works = bits & int(LEAVES_OUT) == 0
        assert works.any(), card.key
        adults += 1
        inside += bool((works & (bits & outside == 0)).any())
    assert inside == adults


@pytest.mark.parametrize("sex", SEXES)
def test_disputed_and_youth_cards_are_never_used_by_default(sex: Sex) -> None:
    columns = reference_people(sex)
    count = columns["weight_kg"].size
    people = People(sex, columns, {}, np.full(count, "", dtype=object))
    answer = reconcile_people(cards_for(sex), people)
    kept_out = [
        row
        for row, card in enumerate(answer.cards)
        if card.status == "disputed" or card.audience == "youth"
    ]
    assert len(kept_out) > 5
    assert (answer.weights[kept_out] == 0.0).all()
    assert (answer.flags[kept_out] & int(Fit.DISPUTED | Fit.YOUTH_ONLY) != 0).all()
    asked = reconcile_people(cards_for(sex), people, Settings(with_disputed=True))
    disputed = [row for row, card in enumerate(answer.cards) if card.status == "disputed"]
    assert (asked.flags[disputed] & int(Fit.DISPUTED) == 0).all()


def test_youth_cards_are_for_youth() -> None:
    """Nobody under 18 gets an adult range; a card for youth must not claim middle age."""
    for card in EQUATIONS:
        if card.audience == "youth" and "age_years" in card.limits:
            assert card.limits["age_years"][0] < 18.0
    assert all(set(needed(card)) <= set(BY_NAME) for card in EQUATIONS)
