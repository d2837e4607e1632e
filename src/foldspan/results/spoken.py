"""Spoken: findings, bands and flags of an answer, each a code with its parameters.

Fields hold codes and numbers; the sentences are asked of ``text/en`` when somebody reads them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Any, Literal

from foldspan.interpretation.classification import COIN_TOSS, LEAST_PROBABILITY
from foldspan.standards.referral_rules import RULE_BY_CODE, SURE_AT, Level
from foldspan.text.en.findings import finding_sentence
from foldspan.text.en.flags import client_sentence, clinician_sentence, flag_sentence
from foldspan.text.en.grounds import ground_words, joined_grounds
from foldspan.text.en.health import (
    STATUS_REMARKS,
    apart_sentence,
    band_remark,
    band_sentence,
    value_words,
)
from foldspan.text.en.repeats import with_allowed


@dataclass(frozen=True, slots=True)
class SpokenFinding:
    """One finding with its size in percentage points, and what its sentence names."""

    code: str
    """Code of the finding; see docs/findings.md."""
    points: float | None
    """Its size [percentage points]; None if it has none."""
    about: tuple[str, ...] = ()
    """What it concerns: method groups, quantities, a reference method, and the like."""
    ordinary: float = 0.0
    """For two methods: the gap that measurement error alone explains in 90% of people [points]."""
    verdict: str = ""
    """For two methods: ``agree``, ``strained`` or ``disagree``; "" for other findings."""
    repeat_rules: tuple[str, str] = ("", "")
    """For a missing third reading: keys of the rules for skinfolds and girths that call for it."""

    @property
    def text(self) -> str:
        """Its sentence, in English."""
        said = finding_sentence(
            self.code, self.points, self.about, ordinary=self.ordinary, verdict=self.verdict
        )
        return with_allowed(said, self.repeat_rules, self.about)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree."""
        return {"code": self.code, "points": rounded(self.points, 2), "text": self.text}


@dataclass(frozen=True, slots=True)
class BandNote:
    """One thing to know about a standard before relying on it."""

    code: str
    """``strong_build``, ``stood_in``, ``columns`` or ``other_columns``; see ``BAND_REMARKS``."""
    quantity: str = ""
    """Name of the quantity used in place of the one asked for, "" for other codes."""
    count: int = 0
    """Number of columns averaged, 0 for other codes."""


@dataclass(frozen=True, slots=True, repr=False)
class SpokenBand:
    """What one health standard says of the client."""

    standard: str
    """Its key, without the columns that were averaged."""
    name: str
    """The name under which it is cited."""
    measure: str
    """What it classifies: ``fat_percent``, ``bmi``, a waist, …."""
    reference_method: str
    """The reference method its limits were developed with; "" if it is not about fat."""
    value: float
    """The client's value [unit of the ``measure``]."""
    se: float
    """Standard error of that value [unit of the ``measure``]."""
    probabilities: Mapping[str, float]
    """Probability of each band [0 to 1], lowest band first; they add up to 1."""
    notes: tuple[BandNote, ...]
    """What to know before relying on it."""
    source: str
    """Where it was published."""
    status: str
    """How well its limits are verified."""
    limits: tuple[tuple[float, float], ...] = ()
    """Where columns were averaged: lowest and highest limit of each band [unit of ``measure``]."""

    @property
    def ranked(self) -> list[tuple[str, float]]:
        """Bands with their probabilities, most likely first."""
        return sorted(self.probabilities.items(), key=lambda item: -item[1])

    @property
    def is_about_even(self) -> bool:
        """Whether no single band is clearly the most likely."""
        return self.ranked[0][1] < COIN_TOSS

    @property
    def shown(self) -> str:
        """The measure and its value, in words."""
        return value_words(self.measure, self.value, self.reference_method)

    @property
    def text(self) -> str:
        """Its sentence, in English: the most likely band, and any others worth mentioning."""
        first, *rest = self.ranked
        likely = [first, *(band for band in rest if band[1] >= LEAST_PROBABILITY)]
        return band_sentence(likely, is_about_even=self.is_about_even)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What to know before relying on it, in English."""
        said = [
            band_remark(note.code, quantity=note.quantity, count=note.count) for note in self.notes
        ]
        return (*said, *([STATUS_REMARKS[self.status]] if self.status in STATUS_REMARKS else []))

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree."""
        return {
            "standard": self.standard,
            "name": self.name,
            "measure": self.measure,
            "reference_method": self.reference_method or None,
            "value": rounded(self.value, 4),
            "se": rounded(self.se, 4),
            "probabilities": {label: rounded(p, 4) for label, p in self.probabilities.items()},
            "is_about_even": self.is_about_even,
            "text": f"{self.shown}: {self.text}.",
            "remarks": list(self.remarks),
            "source": self.source,
            "status": self.status,
        }


@dataclass(frozen=True, slots=True, repr=False)
class SpokenContradiction:
    """Health standards that disagree for one client."""

    way: Literal["above", "below"]
    """What the first side says: ``above`` or ``below`` the usual range."""
    saying: tuple[SpokenBand, ...]
    """Standards that say it."""
    denying: tuple[SpokenBand, ...]
    """Standards that rule it out."""
    reasons: tuple[str, ...]
    """Why they can differ: ``measures``, ``reference_method``, ``age``, ``population``."""

    @property
    def text(self) -> str:
        """Its sentence, in English."""
        saying, denying = (
            [(band.name, band.measure) for band in side] for side in (self.saying, self.denying)
        )
        return apart_sentence(self.way, saying, denying, self.reasons)


@dataclass(frozen=True, slots=True, repr=False)
class Ground:
    """One thing, measured or self-reported, that a flag is based on."""

    code: str
    """What it is: a key of ``GROUND_WORDS`` or ``SELF_REPORTED_NUMBERS``, ``weight`` or ``told``."""
    numbers: Mapping[str, float] = field(default_factory=dict)
    """Its numbers by name: ``value`` [unit of the measure], ``low`` and ``high`` [% of weight], ``se``;
    ``now`` and ``less`` [cm]; ``systolic`` and ``diastolic`` [mmHg]; ``percent`` of a change of weight
    [% of the earlier one]; ``months`` ago."""
    words: tuple[str, ...] = ()
    """Words reported at intake; for a weight loss ``wanted``, ``not_wanted`` or ``not_noted``."""
    day: date | None = None
    """Approximate day of an earlier weight, None if not known."""

    @property
    def text(self) -> str:
        """It in words, for a clinician."""
        return ground_words(self.code, self.numbers, self.words, self.day)


@dataclass(frozen=True, slots=True, repr=False)
class SpokenFlag:
    """One flag with the probability that it holds, and what it is based on."""

    code: str
    """Code of its rule; see docs/health-tables.md."""
    chance: float
    """Probability that the rule applies [0 to 1]."""
    grounds: tuple[Ground, ...] = ()
    """What was measured or reported."""

    @property
    def level(self) -> Level:
        """How urgent: ``inform``, ``advise``, ``refer_soon`` or ``refer_urgently``."""
        return RULE_BY_CODE[self.code].level

    @property
    def is_borderline(self) -> bool:
        """Whether measurement error leaves it open."""
        return self.chance < SURE_AT

    @property
    def source(self) -> str:
        """Where the rule was published."""
        return RULE_BY_CODE[self.code].source

    @property
    def status(self) -> str:
        """How well the rule is verified."""
        return RULE_BY_CODE[self.code].status

    @property
    def text(self) -> str:
        """Its sentence for the trainer."""
        return flag_sentence(self.code, self.chance, is_borderline=self.is_borderline)

    @property
    def for_client(self) -> str:
        """Its sentence for the client."""
        return client_sentence(self.code, self.level)

    @property
    def for_clinician(self) -> str:
        """Its sentence for a clinician."""
        grounds = joined_grounds((ground.code, ground.text) for ground in self.grounds)
        return clinician_sentence(RULE_BY_CODE[self.code], grounds, self.chance)

    def to_dict(self) -> dict[str, Any]:
        """Return the JSON tree."""
        return {
            "code": self.code,
            "level": self.level,
            "text": self.text,
            "for_client": self.for_client,
            "for_clinician": self.for_clinician,
            "chance": rounded(self.chance, 2),
            "is_borderline": self.is_borderline,
            "source": self.source,
            "status": self.status,
        }


def rounded(value: float | None, digits: int) -> float | None:
    """Return a number for JSON, None where there is none."""
    return None if value is None else round(float(value), digits) + 0.0  # no minus nought
