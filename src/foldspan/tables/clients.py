"""Clients of a table: who may get a range, and their answers in parts of a few thousand rows."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Self

import numpy as np

from foldspan.catalogue.card import Array, BoolArray, Conversion
from foldspan.estimation.applicability import ANCESTRY_INDICATORS
from foldspan.estimation.batch import People
from foldspan.estimation.pipeline import Reconciled, reconcile_people
from foldspan.estimation.settings import Settings, conversion_fits
from foldspan.intake.as_arrays import SelfReported
from foldspan.intake.refusals import is_expecting, is_judged_as_adult, refused
from foldspan.intake.word_search import says_none
from foldspan.interpretation.indices import body_mass_index
from foldspan.interpretation.measured import Measured
from foldspan.measurement.accepted_values import AcceptedColumn
from foldspan.measurement.between_sites import rarely_together
from foldspan.measurement.plausibility import UNUSED_ERROR
from foldspan.quantities import ANCESTRIES, BY_NAME, MEASURED, SEXES, Sex
from foldspan.reference.population import indicators
from foldspan.standards.backgrounds import ancestry_of, background_of, read_background
from foldspan.standards.referral_rules import ADULT_AGE
from foldspan.tables.cells import Words
from foldspan.tables.facts import read_age, read_pregnant, read_sexes, withheld
from foldspan.tables.intake import read_self_reported
from foldspan.tables.rows import Rows

# rows reconciled at a time, about: enough for fast arrays, few enough to stay in the cache
ROWS_AT_ONCE = 16384


@dataclass(frozen=True, slots=True, repr=False)
class Clients:
    """What the rows say about the clients; ``able`` are those who may get a range.

    ``barred`` are those who get none for what they are or told, ``doubtful`` those who wrote something
    that may mean so and cannot be read; whoever is neither lacks something. ``sexes`` holds places in
    ``SEXES``, -1 where not known. ``very_low_bmi`` [kg/m²] is that of weights that are not used, NaN
    elsewhere; see ``judged_bmi``.
    """

    sexes: Array
    age: Array
    ancestry: Words
    athlete: Array
    sites: dict[str, AcceptedColumn]
    able: BoolArray
    barred: Array
    doubtful: Array
    background: Array
    reported: SelfReported
    very_low_bmi: Array
    is_pregnant: BoolArray
    is_expecting: BoolArray

    @classmethod
    def read(cls, rows: Rows) -> Self:
        """Read every known column and mark what is wrong."""
        read_sexes(rows)
        age = read_age(rows)
        rows.is_young, rows.may_be_young = age < ADULT_AGE, ~(age >= ADULT_AGE)
        says_pregnant = read_pregnant(rows)
        asks_back = ~rows.is_young & ~says_pregnant
        sites = _sites(rows, age, asks_back)
        ancestry, stated = rows.words("ancestry"), rows.words("family_background")
        rows.mark(~ancestry.are("", *ANCESTRIES), "E113", "ancestry")
        ancestry = ancestry.only(ANCESTRIES)
        athlete = rows.truths("athlete")[0].astype(float)
        used = [
            text for text in stated.different if read_background(text).is_used or says_none(text)
        ]
        rows.mark(~stated.are(*used), "W126", "family_background")
        background = _backgrounds(stated, ancestry)
        ancestry = _ancestries(stated, ancestry)
        unknown = np.full(rows.length, np.nan)
        weight = sites.get("weight_kg", AcceptedColumn(unknown, unknown, says_pregnant))
        answers = read_self_reported(rows, weight.value, weight.se, asks_back)
        pregnant = says_pregnant | answers.any_of("pregnant")
        rows.mark(pregnant, "E202")
        rows.mark(pregnant & (rows.sexes == SEXES.index("male")), "W127", "pregnant")
        barred = np.zeros(rows.length, dtype=bool)
        for code, here in refused(age, pregnant, answers).items():
            barred |= here
            if code not in ("E201", "E202"):  # marked above
                rows.mark(here, code)
        # what may mean a refusal and cannot be read is no reason to guess
        doubtful = withheld(rows)
        able = (rows.sexes >= 0) & is_judged_as_adult(age, barred) & ~doubtful
        return cls(
            rows.sexes, age, ancestry, athlete, sites, able, barred, doubtful, background, answers,
            rows.very_low_bmi, pregnant, is_expecting(pregnant, answers),
        )  # fmt: skip

    def some(self, rows: Array) -> Clients:
        """Return some of the clients, by their numbers."""
        sites = {
            name: AcceptedColumn(site.value[rows], site.se[rows], site.at_least[rows])
            for name, site in self.sites.items()
        }
        return Clients(
            self.sexes[rows], self.age[rows],
            Words(self.ancestry.places[rows], self.ancestry.different), self.athlete[rows], sites,
            self.able[rows], self.barred[rows], self.doubtful[rows], self.background[rows],
            self.reported.some(rows), self.very_low_bmi[rows], self.is_pregnant[rows],
            self.is_expecting[rows],
        )  # fmt: skip

    @property
    def judged_as_adult(self) -> BoolArray:
        """Those whom the rules of adults are for, bool (N,); the others by what needs no range."""
        return is_judged_as_adult(self.age, self.barred)

    @property
    def lacks_sex_only(self) -> Array:
        """Adults who would get a range if their sex were known, bool (N,)."""
        return np.asarray((self.sexes < 0) & self.judged_as_adult & ~self.doubtful)

    def leave_out(self, rows: Rows, conversion: Conversion) -> None:
        """Leave out the rows that a conversion was not made for."""
        for place, sex in enumerate(SEXES):
            here = self.able & (self.sexes == place)
            if here.any():
                ancestry = self.ancestry.each()
                fits = conversion_fits(conversion, sex, self.age, ancestry, self.athlete)
                rows.mark(here & ~fits, "E501", "conversion")
                self.able[here & ~fits] = False

    def answers(
        self, settings: Settings, *, every: bool = False, both_references: bool = False
    ) -> Iterator[tuple[Array, People, Reconciled]]:
        """Reconcile everybody who may get a range; yield row numbers, people, answers, by parts.

        With ``every`` also the equations are worked out that nobody here can use; ``both_references`` as
        in ``reconcile_people``.
        """
        for place, sex in enumerate(SEXES):
            chosen = np.flatnonzero(self.able & (self.sexes == place))
            parts = max(1, round(chosen.size / ROWS_AT_ONCE))
            for some in np.array_split(chosen, parts) if chosen.size else ():
                people = self.people(sex, some)
                # handed on and not kept: the next answer needs the room
                yield (
                    some,
                    people,
                    reconcile_people(
                        settings.cards_for(sex),
                        people,
                        settings,
                        every=every,
                        both_references=both_references,
                    ),
                )

    def bmi(self, some: Array) -> Measured:
        """Return the body mass index of some rows with its error."""
        unknown = np.full(some.size, np.nan)
        parts: list[Array] = []
        for name in ("weight_kg", "height_cm"):
            site = self.sites.get(name)
            parts += [unknown, unknown] if site is None else [site.value[some], site.se[some]]
        return body_mass_index(*parts)

    def judged_bmi(self, some: Array) -> Measured:
        """Return the body mass index that flags go by: also one that is not used, and may be true.

        Where weight or height is outside what is possible, and would be dangerously low if both were
        right, it is for somebody to look at, as in a visit that is refused.
        """
        bmi, unused = self.bmi(some), self.very_low_bmi[some]
        is_unused = ~np.isnan(unused)
        if not is_unused.any():
            return bmi
        unused_se = (
            unused * UNUSED_ERROR * np.hypot(1.0, 2.0)
        )  # of the weight, and twice of the height
        return Measured(
            np.where(is_unused, unused, bmi.value), np.where(is_unused, unused_se, bmi.se)
        )

    def people(self, sex: Sex, some: Array) -> People:
        """Return some rows of one sex for the bench."""
        unknown = np.full(some.size, np.nan)
        columns = dict.fromkeys(BY_NAME, unknown) | {"age_years": self.age[some]}
        # ``take`` is quicker than an index, and there are seventy columns
        columns |= {name: site.value.take(some) for name, site in self.sites.items()}
        ancestry = np.array(self.ancestry.different)[self.ancestry.places[some]]
        marks = dict(indicators(sex, some.size)) | {"is_athlete": self.athlete[some]}
        for word in self.ancestry.different:
            if word in ANCESTRY_INDICATORS:
                name = ANCESTRY_INDICATORS[word]
                marks[name] = np.where(ancestry == word, 1.0, marks[name])
        return People(
            sex=sex,
            columns=columns | marks,
            reading_se={name: site.se.take(some) for name, site in self.sites.items()},
            ancestry=ancestry,
            at_least={
                name: site.at_least[some]
                for name, site in self.sites.items()
                if site.at_least.any()
            },
        )


def _sites(rows: Rows, age: Array, grown: Array) -> dict[str, AcceptedColumn]:
    """Accepted values of every measured column, held against each other."""
    sites = {name: rows.measured(name) for name in MEASURED if rows.has(name)}
    values = {name: site.value for name, site in sites.items()}
    before = dict(values)
    rows.hold_together(values, age)
    closed = {
        name: np.where(sites[name].at_least, np.nan, value) if sites[name].at_least.any() else value
        for name, value in values.items()
    }
    for check, odd in rarely_together(closed, rows.sexes):
        rows.mark(odd & grown, "W125", f"{check.first}, {check.second}")
    for name, value in values.items():
        if value is not before[name]:
            sites[name] = AcceptedColumn(value, sites[name].se, sites[name].at_least)
    return sites


def _ancestries(stated: Words, ancestry: Words) -> Words:
    """Ancestry of every row that equations go by: the one stated, else what a background says."""
    known = ancestry.different
    ancestries = [ancestry_of(text, "") for text in stated.different]
    if not any(ancestries):
        return ancestry
    places = np.array([known.index(word) for word in ancestries])[stated.places]
    return Words(np.where(ancestry.are(""), places, ancestry.places), known)


def _backgrounds(stated: Words, ancestry: Words) -> Array:
    """Family background of every row: the one stated, else what the ancestry says."""
    several = len(ancestry.different)
    pairs = stated.places * several + ancestry.places
    present = np.flatnonzero(np.bincount(pairs))
    words = [
        background_of(
            read_background(stated.different[pair // several]).word,
            ancestry.different[pair % several],
        )
        for pair in present.tolist()
    ]
    if len(words) == 1:
        return np.full(pairs.shape[0], words[0])
    places = np.zeros(present.max(initial=0) + 1, dtype=np.int64)
    places[present] = np.arange(present.size)
    return np.asarray(np.array(words, dtype=str)[places[pairs]])
