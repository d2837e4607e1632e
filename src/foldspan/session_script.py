"""Session script: what a measuring session asks, in order, as far as its answers tell.

Order: may it be kept, who, what speaks against measuring, the plan, consent item by item, preparation,
landmarks, then every site once and every site again, then third readings where two disagree.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal, NamedTuple

import numpy as np

from foldspan.catalogue import EQUATIONS
from foldspan.evaluate import needed
from foldspan.flags import Raised, chances_without_range, raised_flags
from foldspan.indices import Measured
from foldspan.intake import Intake
from foldspan.protocol.effort import INTIMATE
from foldspan.protocol.plans import CONSENT, COVERED, PLAN_BY_KEY
from foldspan.protocol.repeat_rules import RULE_BY_KEY, tolerance
from foldspan.protocol.site_guide import SiteGuide, guide_for
from foldspan.quantities import BY_NAME, MEASURED, WAISTS
from foldspan.standards.backgrounds import BACKGROUNDS
from foldspan.standards.rules import MONTHS_AFTER_BIRTH, REFUSALS, RULE_BY_CODE
from foldspan.told import told_of

Kind = Literal[
    "word", "yes_no", "choice", "words", "plan", "number", "pressure", "ready", "reading", "done"
]
ADULT_AGE = 18.0
# Ages at which pregnancy, a birth and periods are asked about (common practice, no source).
ASKED_OF_WOMEN = (18.0, 55.0)
# What was told and speaks against lifting folds: they bruise.
NO_FOLDS = RULE_BY_CODE["bleeding"].said
# What was told and keeps hands and tape off the belly (evidence on when not to measure).
NO_BELLY = RULE_BY_CODE["belly_not_valid"].said
# Months after an operation in which its region is left alone (our proposal).
HEALING_MONTHS = 3.0
BELLY: tuple[str, ...] = (
    *WAISTS, "abdominal_mm", "suprailiac_anterior_mm", "suprailiac_midaxillary_mm",
    "supraspinale_mm",
)  # fmt: skip
CHEST: tuple[str, ...] = (
    "chest_mm", "midaxillary_mm", "subscapular_mm", "chest_girth_cm", "breast_girth_cm",
)  # fmt: skip
INTAKE_LISTS = ("symptoms", "conditions", "medicines")
OPERATED = ("belly", "chest", "elsewhere")
# What keeps a single site from being taken; the other side may do.
SITE_CARE = ("wound", "skin_disease", "implant", "lymphoedema", "cast", "paralysis")
EQUATION_BY_KEY = {card.key: card for card in EQUATIONS}
# Weight and height first, then the tape, then the calliper: pressing comes last (our proposal).
_ORDER = {"mass": 0, "height": 0, "girth": 1, "breadth": 1, "skinfold": 2}
_PLACE = {name: place for place, name in enumerate(MEASURED)}


@dataclass(frozen=True, slots=True)
class Prompt:
    """What is asked.

    ``quantity`` and ``turn`` (1 to 3) belong to a reading, ``quantity`` alone to a landmark; ``words``
    are those that may be answered; ``rests`` says that the same site was read last, so that the skin
    has to rest. A key ``go_on.CODE`` asks whether to go on although something speaks against it.
    """

    key: str
    kind: Kind
    quantity: str = ""
    turn: int = 0
    words: tuple[str, ...] = ()
    is_optional: bool = False
    rests: bool = False


class LastVisit(NamedTuple):
    """Accepted values of the client's last visit, and the weeks since, None where not known."""

    values: Mapping[str, float]
    weeks: float | None


@dataclass(frozen=True, slots=True, repr=False)
class Known:
    """Answers by the keys of their prompts, prompts put off, and what was said at the beginning."""

    answers: Mapping[str, Any] = field(default_factory=dict)
    later: tuple[str, ...] = ()
    facts: Mapping[str, Any] = field(default_factory=dict)
    last: LastVisit | None = None

    def get(self, key: str, otherwise: Any = None) -> Any:
        """Return an answer, or ``otherwise`` where there is none."""
        return self.answers.get(key, otherwise)

    def value(self, turn: int, name: str) -> float | None:
        """Return a reading in the quantity's unit, None where none was taken."""
        answer = self.answers.get(f"{turn}.{name}")
        return answer.get("value") if isinstance(answer, Mapping) else None

    def is_at_least(self, turn: int, name: str) -> bool:
        """Whether a reading stopped at the end of the scale."""
        answer = self.answers.get(f"{turn}.{name}")
        return isinstance(answer, Mapping) and bool(answer.get("at_least"))

    def told(self, *words: str) -> tuple[str, ...]:
        """Return which of the words of the intake were told."""
        said = [word for key in INTAKE_LISTS for word in self.get(key) or ()]
        return tuple(word for word in words if word in said)


def script(known: Known) -> Iterator[Prompt]:
    """Yield every prompt of a session, in order, as far as the answers so far tell them."""
    for prompt in _until_the_plan(known):
        yield prompt
        if prompt.key.startswith("go_on.") and known.get(prompt.key) is not True:
            yield Prompt("done", "done")
            return
    if known.get("plan") is None:
        yield Prompt("plan", "plan", words=tuple(PLAN_BY_KEY))
        return
    lifts = any(BY_NAME[name].kind == "skinfold" for name in chosen(known))
    for item in CONSENT:
        if item != "pinch" or (lifts and known.get("consent.touch") is not False):
            yield Prompt(f"consent.{item}", "yes_no")
    if set(INTIMATE) & set(chosen(known)) and known.get("sex") == "female":
        yield Prompt("consent.chest", "yes_no")
    if has_folds(known) or known.get("prepared.skin") is False:
        yield Prompt("prepared.skin", "yes_no")
    yield Prompt("prepared.rested", "yes_no")
    if has_folds(known) and not known.facts.get("calliper"):
        yield Prompt("calliper", "word", is_optional=True)
    yield from _rounds(known)
    yield Prompt("done", "done")


def _until_the_plan(known: Known) -> Iterator[Prompt]:
    """Ask who it is and what speaks against measuring; each reason comes up as soon as it is told."""
    yield Prompt("consent.store", "yes_no")
    yield Prompt("code", "word")
    if not known.facts.get("tester"):
        yield Prompt("tester", "word", is_optional=True)
    yield Prompt("sex", "choice", words=("female", "male"))
    yield Prompt("age_years", "number")
    if is_minor(known):
        yield Prompt("go_on.E201", "yes_no")
    asks_women = known.get("sex") == "female" and _is_between(known, ASKED_OF_WOMEN)
    if asks_women:
        yield Prompt("pregnant", "yes_no", is_optional=True)
        if known.get("pregnant"):
            yield Prompt("go_on.E202", "yes_no")
        else:
            yield Prompt("birth_months_ago", "number", is_optional=True)
            birth = known.get("birth_months_ago")
            if birth is not None and birth < MONTHS_AFTER_BIRTH:
                yield Prompt("go_on.E204", "yes_no")
    yield Prompt("eating_concern", "yes_no", is_optional=True)
    if known.get("eating_concern"):
        yield Prompt("go_on.eating_concern", "yes_no")
    yield from _health(known, asks_women=asks_women)


def _health(known: Known, *, asks_women: bool) -> Iterator[Prompt]:
    """Ask for signs, conditions and medicines, then what the health standards go by."""
    yield Prompt("symptoms", "words", is_optional=True)
    if is_urgent(known):
        yield Prompt("go_on.urgent", "yes_no")
    for name in ("conditions", "medicines"):
        yield Prompt(name, "words", is_optional=True)
        for refusal in REFUSALS:
            if set(refusal.said) & set(known.get(name) or ()):
                yield Prompt(f"go_on.{refusal.problem}", "yes_no")
    if asks_women and not known.get("pregnant"):
        yield Prompt("periods_stopped", "yes_no", is_optional=True)
    yield Prompt("surgery_months_ago", "number", is_optional=True)
    if is_healing(known):
        yield Prompt("operated", "choice", words=OPERATED)
    if is_minor(known) or known.get("pregnant"):
        return
    yield Prompt("blood_pressure_mmhg", "pressure", is_optional=True)
    if is_urgent(known):
        yield Prompt("go_on.urgent", "yes_no")
    yield Prompt("athlete", "yes_no", is_optional=True)
    yield Prompt("family_background", "choice", words=BACKGROUNDS, is_optional=True)
    if not known.get("eating_concern"):
        yield Prompt("earlier_weight_kg", "number", is_optional=True)
        if known.get("earlier_weight_kg") is not None:
            yield Prompt("earlier_weight_months_ago", "number")


def _is_between(known: Known, ages: tuple[float, float]) -> bool:
    age = known.get("age_years")
    return age is not None and ages[0] <= age <= ages[1]


def is_minor(known: Known) -> bool:
    """Whether the client is too young for the ranges of adults."""
    age = known.get("age_years")
    return age is not None and age < ADULT_AGE


def is_healing(known: Known) -> bool:
    """Whether an operation was so recently that its region is left alone."""
    months = known.get("surgery_months_ago")
    return months is not None and months < HEALING_MONTHS


def is_urgent(known: Known) -> bool:
    """Whether what was told cannot wait, alone or together."""
    return any(one.level == "refer_urgently" for one in told_flags(known))


def told_flags(known: Known) -> tuple[Raised, ...]:
    """Return the flags that what was told raises by itself, the most urgent first."""
    words = [word for key in INTAKE_LISTS for word in known.get(key) or ()]
    if not words and known.get("blood_pressure_mmhg") is None:
        return ()
    pressure = known.get("blood_pressure_mmhg")
    birth = known.get("birth_months_ago")
    is_after_birth = birth is not None and birth < MONTHS_AFTER_BIRTH
    intake = Intake(
        words=tuple(words),
        birth_months_ago=birth,
        pressure_mmhg=(pressure[0], pressure[1]) if pressure else None,
    )
    unknown = np.array([np.nan])
    chances = chances_without_range(
        told_of(intake, None, None),
        str(known.get("sex") or ""),
        np.array([float(known.get("age_years") or np.nan)]),
        np.array([str(known.get("family_background") or "")]),
        Measured(unknown, unknown),
        is_expecting=bool(known.get("pregnant")) or is_after_birth,
    )
    return raised_flags(chances)


def chosen(known: Known) -> tuple[str, ...]:
    """Return the sites that the plan asks for, before what the client does not want is left out."""
    wanted: dict[str, None] = {}
    for word in known.get("plan") or ():
        if word in PLAN_BY_KEY:
            sites = PLAN_BY_KEY[word].sites(known.get("sex", "female"))
        else:
            sites = needed(EQUATION_BY_KEY[word])
        wanted |= dict.fromkeys(("weight_kg", "height_cm", *sites))
    wanted.pop("age_years", None)
    return _in_order(wanted)


def _in_order(names: Mapping[str, None]) -> tuple[str, ...]:
    """Sites as they are gone round: by kind, within it from the head down."""
    return tuple(sorted(names, key=lambda name: (_ORDER[BY_NAME[name].kind], _PLACE[name])))


def left_out(known: Known) -> dict[str, tuple[str, ...]]:
    """Return what the answers take out of the plan: code of the reason → sites."""
    gone = _kept_off(known)
    sites = chosen(known)
    found = {code: tuple(name for name in sites if name in names) for code, names in gone.items()}
    return {code: names for code, names in found.items() if names}


def _kept_off(known: Known) -> dict[str, frozenset[str]]:
    """Return every site that the answers keep hands off, planned or not: code of the reason → sites."""
    folds = frozenset(name for name in MEASURED if BY_NAME[name].kind == "skinfold")
    operated = known.get("operated") if is_healing(known) else None
    is_off_belly = known.told(*NO_BELLY) or known.get("pregnant") or operated == "belly"
    reasons = (
        ("weight_and_height_only", is_minor(known) or known.get("pregnant"),
         frozenset(MEASURED) - {"weight_kg", "height_cm"}),
        ("no_touch", known.get("consent.touch") is False, folds),
        ("no_pinching", known.get("consent.pinch") is False, folds),
        ("skin_not_ready", known.get("prepared.skin") is False, folds),
        ("bleeds_easily", known.told(*NO_FOLDS), folds),
        ("off_belly", is_off_belly, frozenset(BELLY)),
        ("off_chest", operated == "chest", frozenset(CHEST)),
        ("chest_declined", known.get("consent.chest") is False, frozenset(INTIMATE)),
        ("covered", known.get("consent.uncover") is False, frozenset(COVERED)),
    )  # fmt: skip
    return {code: names for code, holds, names in reasons if holds}


def planned(known: Known) -> tuple[str, ...]:
    """Return the sites of the session in their order.

    Where all folds fall away the tape takes their place, so that the client still gets a range.
    """
    sites = dict.fromkeys(chosen(known))
    gone = frozenset().union(*_kept_off(known).values())
    folds = {name for name in sites if BY_NAME[name].kind == "skinfold"}
    if folds and folds <= gone:
        sites |= dict.fromkeys(PLAN_BY_KEY["tape"].sites(known.get("sex", "female")))
    return _in_order({name: None for name in sites if name not in gone})


def has_folds(known: Known) -> bool:
    """Whether the session lifts any fold."""
    return any(BY_NAME[name].kind == "skinfold" for name in planned(known))


def guide_of(known: Known, name: str) -> SiteGuide:
    """Return the guide to a site, at the variant that the chosen equations were built on."""
    variant = ""
    for word in known.get("plan") or ():
        card = EQUATION_BY_KEY.get(word)
        variant = variant or (card.sites.get(name, "") if card is not None else "")
    if not variant and name == "chest_mm" and known.get("sex") == "female":
        variant = "third"
    return guide_for(name, variant)


def unlike_variants(known: Known) -> dict[str, tuple[str, ...]]:
    """Return the sites for which the chosen equations were built on different variants."""
    found: dict[str, dict[str, None]] = {}
    for word in known.get("plan") or ():
        card = EQUATION_BY_KEY.get(word)
        for name, variant in (card.sites if card is not None else {}).items():
            found.setdefault(name, {})[variant] = None
    return {name: tuple(variants) for name, variants in found.items() if len(variants) > 1}


def is_unsteady(known: Known, name: str) -> bool:
    """Whether three readings of a site spread over more than twice what the rule allows."""
    readings = [known.value(turn, name) for turn in (1, 2, 3)]
    taken = [one for one in readings if one is not None]
    if len(taken) < 3:
        return False
    spread, mean = max(taken) - min(taken), sum(taken) / len(taken)
    return spread > 2.0 * allowed_apart(known, name, mean)


def _rounds(known: Known) -> Iterator[Prompt]:
    sites = planned(known)
    for name in sites:
        guide = guide_of(known, name)
        if BY_NAME[name].kind == "skinfold" or guide.mark is not None:
            kind: Kind = "ready" if guide.mark is None else "number"
            yield Prompt(f"mark.{name}", kind, name, is_optional=True)
    last = ""
    for turn in (1, 2, 3):
        round_ = [one for one in sites if _is_asked(known, one, turn)]
        put_off = [one for one in round_ if f"{turn}.{one}" in known.later]
        for name in [*(one for one in round_ if one not in put_off), *put_off]:
            yield Prompt(f"{turn}.{name}", "reading", name, turn, rests=name == last)
            last = name
    now = [one for turn in (1, 2, 3) if (one := known.value(turn, "weight_kg")) is not None]
    before = known.get("earlier_weight_kg")
    if before is not None and now and now[-1] < before:
        yield Prompt("loss_wanted", "yes_no")
    yield Prompt("finish", "ready")


def _is_asked(known: Known, name: str, turn: int) -> bool:
    """Whether a round asks for a site: not again what could not be taken, or not be marked."""
    mark = known.get(f"mark.{name}")
    if isinstance(mark, Mapping) and "cannot" in mark:
        return False
    if turn == 3:
        return wants_third(known, name)
    return turn == 1 or f"1.{name}" not in known.answers or known.value(1, name) is not None


def allowed_apart(known: Known, name: str, mean: float) -> float:
    """Return how far two readings of a site may differ, in its unit."""
    rule = RULE_BY_KEY[known.facts.get("repeat_rule", "2mm")]
    return tolerance(name, mean, rule, float(known.facts.get("scale_step_mm") or 0.0))


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
