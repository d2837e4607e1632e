"""Answers: what a session knows from its answers so far, and what it may ask.

Readings that are held against each other, and answers that speak against measuring.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from types import MappingProxyType
from typing import Literal, NamedTuple

import numpy as np

from foldspan.intake.as_arrays import intake_as_arrays
from foldspan.intake.model import Intake
from foldspan.intake.rules import LISTS
from foldspan.interpretation.measured import Measured
from foldspan.interpretation.referral import Raised, chances_without_range, raised_flags
from foldspan.measurement.against_earlier import WEEKS_A_YEAR
from foldspan.protocol.repeat_rules import FORMER, GIRTH_RULE_BY_KEY, RULE_BY_KEY, tolerance
from foldspan.quantities import MEASURED, SEXES, Sex
from foldspan.session.events import Answer, Value
from foldspan.standards.backgrounds import read_background
from foldspan.standards.intake_vocabulary import OLD_WORDS
from foldspan.standards.referral_rules import ADULT_AGE, MONTHS_AFTER_SURGERY

Kind = Literal[
    "word",
    "yes_no",
    "choice",
    "words",
    "plan",
    "number",
    "pressure",
    "background",
    "ready",
    "reading",
    "done",
    "those",
    "permit",
    "still",
    "sites",
]


# the page of sex and age of a client who is known
WHO = "page.who"


@dataclass(frozen=True, slots=True)
class Prompt:
    """What is asked.

    ``quantity`` and ``turn`` (1 to 3) belong to a reading, ``quantity`` alone to a landmark; ``words``
    are those that may be answered; ``rests`` says that the same site was read last, so that the skin
    has to rest. A key ``go_on.CODE`` asks whether to go on although something speaks against it. A page
    answers several prompts, whose keys are its ``words``: ``those`` that apply, ``permit`` or refuse,
    ``still`` so as last time, or the ``sites`` that are marked.
    """

    key: str
    kind: Kind
    quantity: str = ""
    turn: int = 0
    words: tuple[str, ...] = ()
    is_optional: bool = False
    rests: bool = False


class LastVisit(NamedTuple):
    """What the book has of a client: of the last visit, the weeks since, None where not known.

    ``values`` are accepted values; ``reported`` answers by the keys of their prompts, as far as they may
    still be so; ``visits`` how many there are.
    """

    values: Mapping[str, float]
    weeks: float | None
    reported: Mapping[str, Answer] = MappingProxyType({})
    sex: str = ""
    age_years: float | None = None
    day: str = ""
    visits: int = 1


@dataclass(frozen=True, slots=True, repr=False)
class Known:
    """Answers by the keys of their prompts, prompts put off, and what was said at the beginning."""

    answers: Mapping[str, Answer] = field(default_factory=dict)
    later: tuple[str, ...] = ()
    facts: Mapping[str, Value] = field(default_factory=dict)
    last: LastVisit | None = None

    def get(self, key: str, otherwise: Answer = None) -> Answer:
        """Return an answer, or ``otherwise`` where there is none."""
        return self.answers.get(key, otherwise)

    def number(self, key: str) -> float | None:
        """Return a number that was reported, None where there is none: not asked, or asked in vain."""
        value = self.answers.get(key)
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            return None
        return float(value)

    def words(self, key: str) -> tuple[str, ...]:
        """Return the words of a list that was answered, () where there is none."""
        answer = self.answers.get(key)
        return tuple(map(str, answer)) if isinstance(answer, (list, tuple)) else ()

    def site_answer(self, key: str) -> Mapping[str, Value]:
        """Return what was answered at a mark or a reading, empty where it was nothing or Enter."""
        answer = self.answers.get(key)
        return answer if isinstance(answer, Mapping) else {}

    def reading(self, turn: int, name: str) -> Mapping[str, Value]:
        """Return a reading with what belongs to it, empty where none was taken."""
        return self.site_answer(f"{turn}.{name}")

    def value(self, turn: int, name: str) -> float | None:
        """Return a reading in the quantity's unit, None where none was taken."""
        value = self.reading(turn, name).get("value")
        return value if isinstance(value, (int, float)) else None

    def is_at_least(self, turn: int, name: str) -> bool:
        """Whether a reading stopped at the end of the scale."""
        return bool(self.reading(turn, name).get("at_least"))

    def reported(self, *words: str) -> tuple[str, ...]:
        """Return which of the words of the intake were reported."""
        given = self.intake_words()
        return tuple(word for word in words if word in given)

    def intake_words(self) -> tuple[str, ...]:
        """Return every word of the intake that was reported, in today's words."""
        given = (word for key in LISTS for word in self.words(key))
        return tuple(OLD_WORDS.get(word, word) for word in given)


def who_last_time(known: Known) -> dict[str, Answer]:
    """Return the sex that was told at the last visit, and the age in whole years to expect since then.

    Empty where not both are known. Ages are told in whole years as a rule: half a year is taken to have
    gone by since the birthday.
    """
    last = known.last
    if last is None or not last.sex or last.age_years is None:
        return {}
    since = (last.weeks or 0.0) / WEEKS_A_YEAR
    months = 0.5 if last.age_years.is_integer() else 0.0
    return {"sex": last.sex, "age_years": float(math.floor(last.age_years + months + since))}


def shown_last_time(known: Known, page: str) -> dict[str, Answer]:
    """Return what a page shows to say in one step that it is still so, by the keys of its prompts."""
    return who_last_time(known) if page == WHO else reported_last_time(known)


def reported_last_time(known: Known) -> dict[str, Answer]:
    """Return what was reported at the last visit and may still be so, by the keys of its prompts."""
    if known.last is None:
        return {}
    reported = dict(known.last.reported)
    if known.last.sex not in ("", known.get("sex")):  # mended since: what hangs on it is asked anew
        for key in ("plan", "birth_months_ago", "periods_stopped"):
            reported.pop(key, None)
    return reported


def sexes_of(known: Known) -> tuple[Sex, ...]:
    """Return whose equations are wanted: one sex's, or those of both where that is left open."""
    return tuple(sex for sex in SEXES if known.get("sex") in (sex, "both"))


def sex_of(known: Known) -> Sex | None:
    """Return the sex whose equations fit, None where it is left open or not told yet."""
    sexes = sexes_of(known)
    return sexes[0] if len(sexes) == 1 else None


def is_minor(known: Known) -> bool:
    """Whether the client is too young for the ranges of adults."""
    age = known.number("age_years")
    return age is not None and age < ADULT_AGE


def is_narrow(known: Known) -> bool:
    """Whether weight and height are all that is measured: under 18, and in pregnancy."""
    return is_minor(known) or bool(known.get("pregnant"))


def is_healing(known: Known) -> bool:
    """Whether an operation was so recently that its region is left alone."""
    months = known.number("surgery_months_ago")
    return months is not None and months < MONTHS_AFTER_SURGERY


def is_urgent(known: Known) -> bool:
    """Whether what was reported cannot wait, alone or together."""
    return any(flag.level == "refer_urgently" for flag in self_reported_flags(known))


def self_reported_flags(known: Known) -> tuple[Raised, ...]:
    """Return the flags that what was reported raises by itself, the most urgent first."""
    words = known.intake_words()
    pressure = known.get("blood_pressure_mmhg")
    pair = tuple(map(float, pressure)) if isinstance(pressure, (list, tuple)) else ()
    if not words and not pair:
        return ()
    intake = Intake(
        words=words,
        birth_months_ago=known.number("birth_months_ago"),
        pressure_mmhg=(pair[0], pair[1]) if pair else None,
    )
    return _flags_of(
        intake,
        sex_of(known) or "",
        known.number("age_years") or np.nan,
        read_background(str(known.get("family_background") or "")).word,
        is_expecting=bool(known.get("pregnant")) or intake.is_after_birth,
    )


@lru_cache(maxsize=64)
def _flags_of(
    intake: Intake, sex: Sex | Literal[""], age: float, background: str, *, is_expecting: bool
) -> tuple[Raised, ...]:
    """The flags that an intake raises by itself; asked again at every prompt of a session."""
    unknown = np.array([np.nan])
    chances = chances_without_range(
        intake_as_arrays(intake, None, None), sex, np.array([age]), np.array([background]),
        Measured(unknown, unknown), is_expecting=is_expecting,
    )  # fmt: skip
    return raised_flags(chances)


def rules_of(known: Known) -> dict[str, str]:
    """Return the repeat rules of a session; one that names none was begun before there was a choice."""
    return {key: str(known.facts.get(key) or former) for key, former in FORMER.items()}


def allowed_apart(known: Known, name: str, mean: float) -> float:
    """Return how far two readings of a site may differ, in its unit."""
    rules = rules_of(known)
    rule, girths = RULE_BY_KEY[rules["repeat_rule"]], GIRTH_RULE_BY_KEY[rules["girth_rule"]]
    step = float(known.facts.get("scale_step_mm") or 0.0)
    return float(tolerance(name, mean, rule, step, girths))


def wants_third(known: Known, name: str) -> bool:
    """Whether two readings of a site lie further apart than the rule of the session allows."""
    first, second = known.value(1, name), known.value(2, name)
    if first is None or second is None:
        return False
    if known.is_at_least(1, name) or known.is_at_least(2, name):
        return False  # the scale ends there; a third tells nothing more
    # readings come in steps of a scale: a difference of exactly the tolerance is within it
    return abs(first - second) > allowed_apart(known, name, (first + second) / 2.0) + 1e-9


def is_blind(known: Known, prompt: Prompt) -> bool:
    """Whether earlier readings are to stay out of sight while this one is typed."""
    return prompt.kind == "reading" and known.get("blind", known.facts.get("blind", True)) is True


def read_sites(known: Known) -> tuple[str, ...]:
    """Return the sites with at least one reading, in the order of the catalogue of quantities."""
    return tuple(
        name for name in MEASURED if any(known.value(turn, name) is not None for turn in (1, 2, 3))
    )


def is_unsteady(known: Known, name: str) -> bool:
    """Whether three readings of a site spread over more than twice what the rule allows."""
    readings = [known.value(turn, name) for turn in (1, 2, 3)]
    taken = [reading for reading in readings if reading is not None]
    if len(taken) < 3:
        return False
    spread, mean = max(taken) - min(taken), sum(taken) / len(taken)
    return spread > 2.0 * allowed_apart(known, name, mean)
