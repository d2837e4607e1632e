"""Invented clients for tests: drawn from ``reference.body_dimensions``, read as a tester reads, no
real person.

Draws are numpy's generator with a fixed seed; readings carry the published technical error.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from functools import cache
from typing import Any

import numpy as np
import scipy.stats

import foldspan
from foldspan.catalogue.card import Array
from foldspan.estimation.batch import People
from foldspan.estimation.families.combine import Combined
from foldspan.estimation.pipeline import Reconciled, reconcile_people
from foldspan.estimation.settings import Settings, settings_for
from foldspan.explanation.case import CaseAnalysis
from foldspan.explanation.what_if import Case
from foldspan.followup.like_with_like import InCommon, common_to
from foldspan.measurement.accepted_values import LASTING_SHARE, accept
from foldspan.measurement.outlier_search import Suspect, suspect_readings
from foldspan.problems import FoldspanError
from foldspan.protocol.technical_error import technical_error
from foldspan.quantities import BY_NAME, MEASURED, SEXES, WAISTS, Sex
from foldspan.reference.body_dimensions import AGE, NAMES, PLACE, moments
from foldspan.reference.population import indicators
from foldspan.results.case_of_visit import case_of

Readings = dict[str, tuple[float, ...]]
SIZE = ("weight_kg", "height_cm")
FULL = (
    *SIZE,
    *("chest_mm", "midaxillary_mm", "triceps_mm", "biceps_mm", "subscapular_mm", "abdominal_mm"),
    *("suprailiac_anterior_mm", "suprailiac_midaxillary_mm", "thigh_mm", "calf_mm"),
    *("neck_cm", "waist_narrowest_cm", "waist_midpoint_cm", "abdomen_navel_cm", "hip_cm"),
    *("arm_relaxed_girth_cm", "forearm_girth_cm", "calf_girth_cm", "wrist_girth_cm"),
)
MEDIUM = (
    *SIZE,
    *("triceps_mm", "biceps_mm", "subscapular_mm", "suprailiac_midaxillary_mm"),
    *("neck_cm", "waist_midpoint_cm", "abdomen_navel_cm", "hip_cm"),
)
TAPE = (
    *SIZE,
    *("neck_cm", "waist_narrowest_cm", "abdomen_navel_cm", "hip_cm"),
    *("forearm_girth_cm", "wrist_girth_cm"),
)
PROTOCOLS = (FULL, MEDIUM, TAPE)
SECTION = {"mass": "mass_height", "height": "mass_height", "skinfold": "skinfolds_mm"}
# smallest step that is written down
STEP = {"skinfold": 0.5, "girth": 0.1, "mass": 0.1, "height": 0.1}
# no equation is levelled there, so that causes have the size that is printed
SETTINGS = Settings(reference_method="density")
CONSISTENT_SEED = 2


@dataclass(frozen=True)
class Client:
    """One invented client: readings in canonical units, in the order taken."""

    sex: Sex
    age: float
    readings: Readings

    @property
    def tree(self) -> dict[str, Any]:
        """The client as a visit file holds him or her."""
        tree: dict[str, Any] = {"client": {"sex": self.sex, "age_years": self.age}}
        for name, given in self.readings.items():
            section = SECTION.get(BY_NAME[name].kind, "girths_cm")
            key = name if section == "mass_height" else BY_NAME[name].short_name
            tree.setdefault(section, {})[key] = list(given)
        return tree

    def visit(self, *, accept_unusual: bool = True) -> foldspan.Visit:
        """The client as the reader takes the file."""
        return foldspan.Visit.from_dict(self.tree, accept_unusual=accept_unusual)

    def changed(self, **readings: tuple[float, ...]) -> Client:
        """The client with other readings at some sites."""
        return replace(self, readings=self.readings | readings)

    def scaled(self, factors: Mapping[str, float]) -> Client:
        """The client with readings times a factor, to the digit that is written down."""
        return self.changed(
            **{
                name: tuple(round(reading * factors[name], 1) for reading in given)
                for name, given in self.readings.items()
                if name in factors
            }
        )

    def suspects(self) -> tuple[Suspect, ...]:
        """What the search says of the readings."""
        return suspect_readings(self.sex, self.age, self.readings)


def analysis_of(
    client: Client,
    settings: Settings = SETTINGS,
    variants: Mapping[str, str] | None = None,
    **facts: object,
) -> CaseAnalysis:
    """The client through the reader, with facts about the client and site variants added."""
    tree = client.tree
    tree["client"] |= facts
    if variants:
        tree["site_variants"] = dict(variants)
    visit = foldspan.Visit.from_dict(tree, accept_unusual=True)
    return CaseAnalysis(case_of(visit, settings))


def refused_places(client: Client, *, accept_unusual: bool) -> tuple[str, ...] | None:
    """Where the reader stops; None if it lets the visit pass."""
    try:
        client.visit(accept_unusual=accept_unusual)
    except FoldspanError as error:
        return tuple(problem.where for problem in error.problems)
    return None


def read(name: str, true: float, repeats: int, rng: np.random.Generator) -> tuple[float, ...]:
    """Readings with the published technical error, half of it the same in all repeats."""
    kind = BY_NAME[name].kind
    error = technical_error(name).of(true)
    lasting = rng.normal() * error * LASTING_SHARE**0.5
    count = repeats if kind in ("skinfold", "girth") else 1
    passing = rng.standard_normal(count) * error * (1.0 - LASTING_SHARE) ** 0.5
    steps = np.round((true + lasting + passing) / STEP[kind])
    least = BY_NAME[name].possible_female[0]
    return tuple(round(max(float(step) * STEP[kind], least), 1) for step in steps)


@cache
def _pattern(sex: Sex) -> tuple[Array, Array]:
    """Mean of the pattern, and the root of its covariance."""
    mean, covariance = moments(sex)
    return mean, np.linalg.cholesky(covariance)


def draw(
    sex: Sex, names: Sequence[str], repeats: int, rng: np.random.Generator, share: float = 1.0
) -> Client:
    """One client of the pattern; ``share`` < 1 stays nearer to the average body."""
    mean, root = _pattern(sex)
    body = mean + share * (root @ rng.standard_normal(len(NAMES)))
    age = float(np.clip(body[PLACE[AGE]], 18.0, 85.0))
    true = {name: float(np.exp(body[PLACE[name]])) for name in names}
    return Client(sex, age, {name: read(name, true[name], repeats, rng) for name in names})


def draw_many(count: int, seed: int, *, accept_unusual: bool) -> list[Client]:
    """Clients of all protocols, both sexes, one or two readings, whom the reader lets pass."""
    rng = np.random.default_rng(seed)
    ways = [(sex, names, n) for n in (1, 2) for names in PROTOCOLS for sex in SEXES]
    clients: list[Client] = []
    while len(clients) < count:
        sex, names, repeats = ways[len(clients) % len(ways)]
        client = draw(sex, names, repeats, rng)
        if refused_places(client, accept_unusual=accept_unusual) is None:
            clients.append(client)
    return clients


@cache
def consistent() -> tuple[tuple[Client, tuple[Suspect, ...]], ...]:
    """2,000 clients without any slip, however unusual the body, and what the search says of each."""
    drawn = draw_many(2000, CONSISTENT_SEED, accept_unusual=True)
    return tuple((client, client.suspects()) for client in drawn)


@cache
def near_average(count: int = 16, share: float = 0.3) -> tuple[Client, ...]:
    """Clients of 25 to 60 whose bodies stay near the average, the full protocol read twice.

    Below a body mass index of 29, so that more muscle does not carry them past 35.
    """
    rng = np.random.default_rng(4)
    found: list[Client] = []
    while len(found) < count:
        client = draw(SEXES[len(found) % 2], FULL, 2, rng, share)
        weight, height = (client.readings[name][0] for name in SIZE)
        if 25.0 <= client.age <= 60.0 and weight / (height / 100.0) ** 2 < 29.0:
            found.append(client)
    return tuple(found)


@cache
def near_average_levelled() -> tuple[CaseAnalysis, ...]:
    """The same clients taken apart on the DXA scale, where equations are levelled."""
    settings = settings_for("dxa", "siri1961")
    return tuple(analysis_of(client, settings) for client in near_average())


def cases(clients: Sequence[Client]) -> list[Case]:
    """What ``case_of`` makes of each client, all reconciled in one go because that is faster."""
    found: list[Case | None] = [None] * len(clients)
    for sex in SEXES:
        rows = [row for row, client in enumerate(clients) if client.sex == sex]
        if not rows:
            continue
        sites = [
            {name: accept(name, given) for name, given in clients[row].readings.items()}
            for row in rows
        ]
        columns = {
            name: np.array([site[name].value if name in site else np.nan for site in sites])
            for name in MEASURED
        }
        errors = {
            name: np.array([site[name].se if name in site else np.nan for site in sites])
            for name in MEASURED
        }
        columns |= {AGE: np.array([clients[row].age for row in rows])}
        columns |= indicators(sex, len(rows))
        people = People(sex, columns, errors, np.full(len(rows), ""))
        answer = reconcile_people(SETTINGS.cards_for(sex), people, SETTINGS)
        answer = replace(answer, blocks=dict(answer.blocks))  # each put together once
        for place, row in enumerate(rows):
            unsure = [
                site for site in sites[place].values() if site.is_unsteady or site.wants_third
            ]
            found[row] = Case(
                people=_client_of(people, place, sites[place]),
                settings=SETTINGS,
                answer=_case_of(answer, place),
                readings=clients[row].readings,
                unsure=tuple(site.name for site in unsure),
            )
    return [case for case in found if case is not None]


def _client_of(people: People, place: int, measured: Iterable[str]) -> People:
    here = slice(place, place + 1)
    return replace(
        people,
        columns={name: column[here] for name, column in people.columns.items()},
        reading_se={name: people.reading_se[name][here] for name in measured},
        ancestry=people.ancestry[here],
    )


def _case_of(answer: Reconciled, place: int) -> Reconciled:
    here = slice(place, place + 1)
    combined = {
        field.name: getattr(answer.combined, field.name)[..., here] for field in fields(Combined)
    }
    names = ("percent", "flags", "equation_sd", "weights", "families", "printed_se")
    return replace(
        answer,
        **{name: getattr(answer, name)[:, here] for name in names},
        blocks={name: block[here] for name, block in answer.blocks.items()},
        covariance=answer.covariance[here],
        combined=Combined(**combined),
        bridges={name: source[here] for name, source in answer.bridges.items()},
        block_sds={name: spread[:, here] for name, spread in answer.block_sds.items()},
        traced={},  # traced anew where it is asked for
    )


# one cause planted by editing what was read
FOLDS = tuple(name for name in FULL if name.endswith("_mm"))
LIMB = ("triceps_mm", "biceps_mm", "thigh_mm", "calf_mm")
TRUNK = tuple(name for name in FOLDS if name not in LIMB)
SIZES = (
    *("weight_kg", "hip_cm", "neck_cm"),
    *("arm_relaxed_girth_cm", "forearm_girth_cm", "calf_girth_cm"),
)


def _all(names: tuple[str, ...], *factors: float) -> dict[str, float]:
    """One factor for all, or one each."""
    return dict(zip(names, factors if len(factors) > 1 else factors * len(names), strict=True))


# edit → reason, and what readings are multiplied with
EDITS: dict[str, tuple[str, dict[str, float]]] = {
    "muscle gained": (
        "more_muscle", _all(SIZES, 1.17, 1.04, 1.10, 1.24, 1.19, 1.17) | _all(WAISTS, 1.03),
    ),
    "muscle lost": (
        "less_muscle", _all(SIZES, 0.82, 0.96, 0.93, 0.79, 0.83, 0.83) | _all(WAISTS, 0.97),
    ),
    # the same weight of fat lies elsewhere
    "fat moved into the belly": ("belly_fat", _all(WAISTS, 1.14) | _all(FOLDS, 0.58)),
    "fat moved under the skin": ("fat_under_skin", _all(WAISTS, 0.88) | _all(FOLDS, 1.75)),
    # weight and girths follow as the pattern has it, folds stay
    "belly and body grown": (
        "belly_fat", _all(SIZES, 1.30, 1.15, 1.09, 1.15, 1.10, 1.10) | _all(WAISTS, 1.32),
    ),
    "belly and body shrunk": (
        "fat_under_skin", _all(SIZES, 0.76, 0.87, 0.92, 0.86, 0.91, 0.91) | _all(WAISTS, 0.78),
    ),
    # nearly nothing but the waist
    "belly alone grown": ("belly_fat", _all(WAISTS, 1.32) | {"weight_kg": 1.08}),
    "belly alone shrunk": ("fat_under_skin", _all(WAISTS, 0.76) | {"weight_kg": 0.93}),
    "fat moved to the trunk": ("trunk_fat", _all(TRUNK, 1.5) | _all(LIMB, 0.78)),
    "fat moved to the limbs": ("limb_fat", _all(TRUNK, 0.67) | _all(LIMB, 1.28)),
}  # fmt: skip
# which equation takes a waist from that at the hip bone; its level, the step between, the spread [cm]
WANTED_WAISTS = {
    "female": ("lean1996_female_waist", "waist_midpoint_cm", 3.2, 4.5),
    "male": ("taylor2024_male_abdomen", "abdomen_navel_cm", 0.0, 3.0),
}
# the scale on which an equation speaks for a waist that was not taken
WAIST_SCALES = {"female": "dxa", "male": "density"}
# a card for 17 to 47 years, and a girth of it
LIMITED = {
    "female": ("vogel1988_female_girths", "forearm_girth_cm"),
    "male": ("vogel1988_male_abdomen_neck", "neck_cm"),
}
BMI_AGE, WAIST_DXA = "deurenberg1991_both_bmi", "woolcott_bergman2018_both_waist_height"


def bmi_without_age(sex: Sex) -> str:
    return f"womersley_durnin1977_{sex}_bmi"


def folds(sex: Sex, sites: str) -> str:
    return f"durnin_womersley1974_{sex}_{sites}_all_ages"  # no age term


def methods_that_see(code: str, sex: Sex) -> tuple[str, str]:
    """The two methods between which a build shows."""
    if code in ("more_muscle", "less_muscle"):
        return "mass_height", "skinfold"
    if code in ("belly_fat", "fat_under_skin"):
        return "waist_height", "skinfold"
    return folds(sex, "subscapular"), folds(sex, "triceps")


def at_hand(cases: Sequence[Case], names: Sequence[str]) -> InCommon:
    """What visits have in common where all sites are measured at each, from answers that are there."""
    first = cases[0]
    return common_to([case.answer for case in cases], first.people.sex, first.settings)


def bounds(share: float, count: int) -> tuple[float, float]:
    """Shares that a true ``share`` gives in 999 of 1,000 simulations of ``count`` clients."""
    low, high = scipy.stats.binom.interval(0.999, count, share)
    return float(low) / count, float(high) / count
