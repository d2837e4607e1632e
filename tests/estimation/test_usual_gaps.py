"""The verdict leaves out what is usual: how often usual bodies are told that methods disagree."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.pipeline import Reconciled
from foldspan.estimation.settings import Settings
from foldspan.estimation.usual_gaps import SPREAD, SPREAD_OF_ALL, usual_terms
from foldspan.quantities import SEXES, Sex
from foldspan.validation.table import gather
from learning.learn_usual_spread import misfits, spread_of
from open_data.survey_2003 import FOLDS, SIZE, handed_in, with_readings
from usual_bodies import SETS, answered, is_strained, usual_bodies

CLASSES = (17.0, 22.0, 25.0, 30.0, 35.0, 45.0)
METHOD = Path(__file__).parents[2] / "docs" / "method.md"


def strained(answer: Reconciled) -> float:
    return 100.0 * float(np.mean(is_strained(answer)))


def told(sex: Sex, measured: str, scale: str) -> list[float]:
    """Percent called strained or worse: of all, then by class of body mass index."""
    is_told, bmi = is_strained(answered(sex, measured, Settings(scale=scale))), usual_bodies(sex)[1]
    classes = pairwise(CLASSES)
    return [100.0 * float(is_told[here].mean()) for here in (
        bmi > 0.0, *((bmi >= low) & (bmi < high) for low, high in classes))]  # fmt: skip


def printed(scale: str) -> dict[tuple[str, str], list[int]]:
    """The rates that the method's page prints for a scale."""
    block = METHOD.read_text("utf-8").split(f"<!-- strained:{scale} -->")[1].split("<!--")[0]
    cells = [
        [cell.strip() for cell in line.strip("|").split("|")]
        for line in block.strip().splitlines()
        if line.startswith("|")
    ]
    return {(row[0], row[1]): [int(cell) for cell in row[2:]] for row in cells[2:]}


@pytest.mark.parametrize("scale", ["dxa", "density"])
def test_the_page_says_how_often_usual_bodies_are_told(scale: str) -> None:
    page = printed(scale)
    assert len(page) == len(SETS) * len(SEXES)
    for (measured, people), rates in page.items():
        sex: Sex = "female" if people == "women" else "male"
        np.testing.assert_allclose(told(sex, measured, scale), rates, atol=0.6)


@pytest.mark.parametrize("sex", SEXES)
@pytest.mark.parametrize("measured", SETS)
def test_usual_bodies_are_seldom_told_that_methods_strain(measured: str, sex: Sex) -> None:
    """About 1 in 10 on the scale of every day; no size much more often than the others."""
    everybody, *classes = told(sex, measured, "dxa")
    assert 8.0 <= everybody <= 16.5
    assert max(classes) <= 20.5


@pytest.mark.parametrize("sex", SEXES)
def test_people_of_the_survey_are_seldom_told(sex: Sex) -> None:
    """People of 2003-2004, whom nothing here has seen: 1 in 10 or fewer."""
    people = with_readings((*FOLDS, *SIZE, "waist_iliac_cm"))
    parts = gather(handed_in(people[people.sex == sex], (*FOLDS, *SIZE, "waist_iliac_cm"))).parts
    rates = [is_strained(part.answer).mean() for part in parts]
    assert len(rates) == 1
    assert 0.05 <= rates[0] <= 0.10


def test_the_spread_is_that_of_the_script() -> None:
    """Where it is learnt at its own answer the spread repeats itself."""
    for sex in SEXES:
        size, times = spread_of(misfits(sex, "dxa"))
        np.testing.assert_allclose(size, SPREAD["dxa"][sex], atol=0.006)
        assert times[0] == pytest.approx(SPREAD_OF_ALL["dxa"][sex], abs=0.006)


@pytest.mark.parametrize("sex", SEXES)
def test_folds_that_all_lie_are_still_found(sex: Sex) -> None:
    """All folds half as thick as they are: what is usual excuses nothing of this body."""
    settings = Settings(scale="dxa")
    usual = strained(answered(sex, "four folds", settings))
    assert strained(answered(sex, "four folds", settings, -0.5)) > max(3.0 * usual, 40.0)


@pytest.mark.parametrize("sex", SEXES)
def test_levelled_equations_have_no_usual_gap(sex: Sex) -> None:
    cards = cards_for(sex)
    levelled = usual_terms(cards, sex, "dxa", "levelled")
    printed = usual_terms(cards, sex, "dxa", "as printed")
    without = (levelled == 0.0).all(axis=1)
    assert without.sum() > 25
    assert np.abs(printed[without]).max() > 1.0
    np.testing.assert_array_equal(levelled[~without], printed[~without])
