"""Ranges held against DXA in NHANES 2003-2004, 3,700 adults who taught the error model nothing.

One evaluation for the page (``calibration_page.py``) and for the tests: by set of inputs, sex, age,
class of body mass index and self-described background. The one number that saw these people is the
free factor of the shared term (docs/method.md, section 5). Some equations were built on survey years
that hold these people (``has_seen_them``): what the range does without them is worked out beside it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import numpy as np
import pandas as pd
from scipy.special import ndtri

from foldspan.catalogue import EQUATIONS
from foldspan.catalogue.card import Array, Equation
from foldspan.estimation.default_cards import cards_for
from foldspan.estimation.pipeline import reconcile_people
from foldspan.estimation.settings import settings_for
from foldspan.quantities import SEXES
from foldspan.tables.clients import Clients
from foldspan.validation.references import referenced
from foldspan.validation.scores import LEVELS, Judgement, crps_gaussian, judge
from foldspan.validation.table import CUT, Alone, Answered, equations_alone, gather
from open_data.open_tables import survey_of

NAMES = {
    "age": "age_years",
    "waist_iliac_crest_cm": "waist_iliac_cm",
    "dxa_fat_percent": "reference_fat_percent",
}
FOLDS = ("triceps_mm", "subscapular_mm")
SIZE = ("weight_kg", "height_cm")
SETS: Mapping[str, tuple[str, ...]] = {
    "two skinfolds": FOLDS,
    "skinfolds, BMI, waist": (*FOLDS, *SIZE, "waist_iliac_cm"),
    "BMI, waist": (*SIZE, "waist_iliac_cm"),
    "BMI": SIZE,
}
READINGS = (
    *FOLDS, *SIZE, "waist_iliac_cm", "thigh_mid_girth_cm", "arm_relaxed_girth_cm", "calf_girth_cm",
)  # fmt: skip
AGES = {"18-29": (18, 30), "30-49": (30, 50), "50-69": (50, 70), "70+": (70, 200)}
SIZES = {
    "below 18.5": (0.0, 18.5),
    "18.5-25": (18.5, 25.0),
    "25-30": (25.0, 30.0),
    "30-35": (30.0, 35.0),
    "35+": (35.0, 200.0),
}
# as the survey calls them, as we do, and as a visit would state them
BACKGROUNDS = {
    "NHWhite": ("white", "white"),
    "NHBlack": ("Black", "black"),
    "MexAm": ("Mexican American", "mexican_american"),
    "OtherHisp": ("other Hispanic", "hispanic"),
    "OtherMulti": ("other or several", "other"),
}
# a group that the survey named later (2017-18)
NAMED_LATER = {"Asian": ("Asian", "asian")}
PEOPLE = {"female": "women", "male": "men"}
LEAST = 20
"""A cell with fewer people says too little to be printed."""


@dataclass(frozen=True)
class Group:
    """Ranges and references of some people [% fat], with what they are sorted by."""

    people: pd.DataFrame
    estimate: Array
    se: Array
    truth: Array

    def where(self, chosen: Array) -> Group:
        """Return the people under a mask."""
        return Group(
            self.people[chosen], self.estimate[chosen], self.se[chosen], self.truth[chosen]
        )

    def of_sex(self, sex: str) -> Group:
        """Return the people of one sex."""
        return self.where((self.people.sex == sex).to_numpy())

    def by(self, kind: str) -> Iterator[tuple[str, Group]]:
        """Yield the classes of ``age``, ``size`` or ``background`` that hold enough people."""
        for name, mask in masks(self.people, kind).items():
            if mask.sum() >= LEAST:
                yield name, self.where(mask)

    def fifths(self) -> Iterator[tuple[str, Group]]:
        """Yield the fifths of the people by their estimate, the lowest first."""
        edges = np.quantile(self.estimate, np.linspace(0.0, 1.0, 6))
        place = np.digitize(self.estimate, edges[1:-1])
        for fifth, (low, high) in enumerate(pairwise(edges)):
            yield f"{low:.0f} to {high:.0f}%", self.where(place == fifth)

    def judged(self) -> Judgement:
        """Return the judgement, everybody counted once."""
        return judge(self.estimate, self.se, self.truth, cut=CUT)

    def weighed(self) -> Judgement:
        """Return the judgement with the survey's weights; bounds are left open (NaN)."""
        weights = self.people.survey_weight_2yr.to_numpy(float)

        def mean(values: Array) -> float:
            return float(np.average(values, weights=weights))

        error = self.estimate - self.truth
        bias = mean(error)
        coverage = {}
        for level in LEVELS:
            held = mean(np.abs(error) <= ndtri(0.5 + level / 2.0) * self.se)
            coverage[level] = (held, np.nan, np.nan)
        return Judgement(
            n=self.truth.size,
            bias=bias,
            sd=float(np.sqrt(mean((error - bias) ** 2))),
            claimed_se=float(np.sqrt(mean(self.se**2))),
            coverage=coverage,
            crps=mean(crps_gaussian(self.estimate, self.se, self.truth)),
            interval_score={},
        )


def masks(people: pd.DataFrame, kind: str) -> dict[str, Array]:
    """Masks of the classes of ``age``, ``size`` or ``background``."""
    if kind == "background":
        named = BACKGROUNDS | NAMED_LATER
        return {shown: (people.race == word).to_numpy() for word, (shown, _) in named.items()}
    bmi = people.weight_kg / (people.height_cm / 100.0) ** 2
    values, bands = (people.age_years, AGES) if kind == "age" else (bmi, SIZES)
    return {
        name: ((values >= low) & (values < high)).to_numpy() for name, (low, high) in bands.items()
    }


@cache
def survey(cycles: str = "2003_2004") -> pd.DataFrame:
    """The adults of 2003-2004, or of other years, under the names that a table has here."""
    people = survey_of(cycles).rename(columns=NAMES)
    people["sex"] = people["sex"].map({sex[0].upper(): sex for sex in SEXES})
    return people.reset_index(drop=True)


def handed_in(people: pd.DataFrame, readings: tuple[str, ...]) -> pd.DataFrame:
    """Return the columns that a user with these readings would hand in, and the reference."""
    table = people[["sex", "age_years", *readings, "reference_fat_percent"]]
    return table.assign(reference_method="dxa")


def with_readings(readings: tuple[str, ...]) -> pd.DataFrame:
    """Return the people in whom all these readings were taken."""
    return survey().dropna(subset=list(readings)).reset_index(drop=True)


def answered(people: pd.DataFrame, parts: list[Answered]) -> Group:
    """Bring the answers of a table's parts together; every row must have got a range."""
    estimate, se = np.full(len(people), np.nan), np.full(len(people), np.nan)
    for part in parts:
        estimate[part.rows] = part.answer.combined.estimate
        se[part.rows] = part.answer.combined.se
    if not np.isfinite(estimate).all():
        raise ValueError(f"{np.isnan(estimate).sum()} people without a range")
    return Group(people, estimate, se, people.reference_fat_percent.to_numpy(float))


@cache
def ranges(name: str, *, stated: bool = False) -> Group:
    """Return the ranges of one set of inputs; ``stated`` tells the background of everybody."""
    people = with_readings(SETS[name])
    table = handed_in(people, SETS[name])
    if stated:
        words = {word: ancestry for word, (_, ancestry) in BACKGROUNDS.items()}
        table["ancestry"] = people.race.map(words)
    return answered(people, gather(table).parts)


def has_seen_them(card: Equation) -> bool:
    """Whether an equation was built on the survey of 1999-2006, so on these people too."""
    return "1999-2006" in card.population


@cache
def ranges_of_strangers(name: str) -> Group:
    """Return the ranges of one set of inputs without the equations that have seen these people."""
    people = with_readings(SETS[name])
    settings = settings_for("dxa", "siri1961")
    parts = []
    clients = Clients.read(referenced(handed_in(people, SETS[name])).rows())
    for rows, columns, _ in clients.answers(settings):
        cards = [card for card in cards_for(columns.sex) if not has_seen_them(card)]
        answer = reconcile_people(cards, columns, settings, every=False)
        truth = people.reference_fat_percent.to_numpy(float)[rows]
        parts.append(Answered(columns.sex, settings.reference_method, rows, truth, answer))
    return answered(people, parts)


@cache
def equations(readings: tuple[str, ...] = READINGS) -> Mapping[str, Alone]:
    """Every equation alone at its printed error, wherever its inputs were taken."""
    return equations_alone(gather(handed_in(survey(), readings)).parts)


def alone(key: str, sex: str) -> Group:
    """Return one equation's answers in one sex as ranges at its printed error."""
    equation = equations()[key]
    group = Group(survey().iloc[equation.rows], equation.estimate, equation.se, equation.truth)
    return group.of_sex(sex)


def best_alone(name: str, sex: str, *, stranger: bool) -> tuple[str, Judgement]:
    """Return the single equation with the best score among those that serve nearly everybody.

    Everybody has all readings of the set; ``stranger`` leaves out what has seen these people.
    """
    people = survey().dropna(subset=list(SETS[name]))
    people = people[people.sex == sex]
    found: dict[str, Judgement] = {}
    seen = {card.key for card in EQUATIONS if has_seen_them(card)}
    for key, equation in equations(SETS[name]).items():
        here = np.isin(equation.rows, people.index)
        if here.sum() >= 0.9 * len(people) and not (stranger and key in seen):
            found[key] = judge(
                equation.estimate[here], equation.se[here], equation.truth[here], cut=CUT
            )
    best = min(found, key=lambda key: found[key].crps)
    return best, found[best]
