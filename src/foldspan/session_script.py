"""Session script: what a measuring session asks, in order, as far as its answers tell.

Order: may it be kept, who, what speaks against measuring, the plan, consent item by item, preparation,
landmarks, then every site once and every site again, then third readings where two disagree.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

from foldspan.catalogue import EQUATIONS
from foldspan.evaluate import needed
from foldspan.protocol.clothing import CORRECTED
from foldspan.protocol.plans import CONSENT, COVERED, PLAN_BY_KEY
from foldspan.protocol.repeat_rules import RULE_BY_KEY, tolerance
from foldspan.protocol.site_guide import SiteGuide, guide_for
from foldspan.quantities import BY_NAME, MEASURED, WAISTS
from foldspan.standards.rules import MONTHS_AFTER_BIRTH, REFUSALS, RULES

Kind = Literal["word", "yes_no", "choice", "words", "plan", "number", "ready", "reading", "done"]
ADULT_AGE = 18.0
# What was told and speaks against folds (they bruise), or against a tape round the waist: the evidence
# on when not to measure; a tape is put off for some months after an operation.
NO_FOLDS = ("blood_thinner", "haemophilia")
NO_WAIST = ("hernia", "stoma")
# What keeps a single site from being taken; the other side may do.
SITE_CARE = ("wound", "skin_disease", "implant", "lymphoedema", "cast", "paralysis")
# Months after an operation on the belly in which no waist is taken (our proposal).
NO_WAIST_AFTER_SURGERY = 3.0
EQUATION_BY_KEY = {card.key: card for card in EQUATIONS}
# Weight and height first, then the tape, then the calliper: pressing comes last (our proposal).
_ORDER = {"mass": 0, "height": 0, "girth": 1, "breadth": 1, "skinfold": 2}
_PLACE = {name: place for place, name in enumerate(MEASURED)}


@dataclass(frozen=True, slots=True)
class Prompt:
    """What is asked.

    ``quantity`` and ``turn`` (1 to 3) belong to a reading, ``quantity`` alone to a landmark; ``words``
    are those that may be answered; ``reasons`` why a question comes up; ``rests`` says that the same
    site was read last, so that the skin has to rest.
    """

    key: str
    kind: Kind
    quantity: str = ""
    turn: int = 0
    words: tuple[str, ...] = ()
    reasons: tuple[str, ...] = ()
    is_optional: bool = False
    rests: bool = False


@dataclass(frozen=True, slots=True, repr=False)
class Known:
    """Answers by the keys of their prompts, prompts put off, and what was said at the beginning."""

    answers: Mapping[str, Any] = field(default_factory=dict)
    later: tuple[str, ...] = ()
    facts: Mapping[str, Any] = field(default_factory=dict)

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
        said = [
            word for key in ("symptoms", "conditions", "medicines") for word in self.get(key) or ()
        ]
        return tuple(word for word in words if word in said)


def script(known: Known) -> Iterator[Prompt]:
    """Yield every prompt of a session, in order, as far as the answers so far tell them."""
    yield from _who(known)
    yield from _what_speaks_against(known)
    stops = bool(reasons_against(known)) and known.get("go_on") is not True
    if not stops and known.get("plan") is None:
        yield Prompt("plan", "plan", words=tuple(PLAN_BY_KEY))
        return
    if not stops:
        for item in CONSENT:
            yield Prompt(f"consent.{item}", "yes_no")
        yield Prompt("prepared.skin", "yes_no")
        yield Prompt("prepared.rested", "yes_no")
        if has_folds(known) and not known.facts.get("calliper"):
            yield Prompt("calliper", "word", is_optional=True)
        yield from _rounds(known)
    yield Prompt("done", "done")


def _who(known: Known) -> Iterator[Prompt]:
    yield Prompt("consent.store", "yes_no")
    yield Prompt("code", "word")
    if not known.facts.get("tester"):
        yield Prompt("tester", "word", is_optional=True)
    yield Prompt("sex", "choice", words=("female", "male"))
    yield Prompt("age_years", "number")
    if known.get("sex") == "female":
        yield Prompt("pregnant", "yes_no")


def _what_speaks_against(known: Known) -> Iterator[Prompt]:
    """Ask what the client may tell, and whether to go on where something speaks against it."""
    if known.get("sex") == "female" and known.get("pregnant") is not True:
        yield Prompt("birth_months_ago", "number", is_optional=True)
    if known.get("pregnant") is not True:
        yield Prompt("eating_concern", "yes_no", is_optional=True)
        for name in ("symptoms", "conditions", "medicines"):
            yield Prompt(name, "words", is_optional=True)
        yield Prompt("surgery_months_ago", "number", is_optional=True)
        yield Prompt("earlier_weight_kg", "number", is_optional=True)
        if known.get("earlier_weight_kg") is not None:
            yield Prompt("earlier_weight_months_ago", "number")
            yield Prompt("loss_wanted", "yes_no", is_optional=True)
    against = reasons_against(known)
    if against:
        yield Prompt("go_on", "yes_no", reasons=against)


def reasons_against(known: Known) -> tuple[str, ...]:
    """Return the codes of what speaks against measuring today, the most urgent first."""
    urgent = {word for rule in RULES if rule.level == "refer_urgently" for word in rule.said}
    told = known.told(*urgent)
    found = ["urgent"] if told else []
    age, birth = known.get("age_years"), known.get("birth_months_ago")
    if age is not None and age < ADULT_AGE:
        found.append("E201")
    if known.get("pregnant"):
        found.append("E202")
    if birth is not None and birth < MONTHS_AFTER_BIRTH:
        found.append("E204")
    found += [str(refusal.problem) for refusal in REFUSALS if known.told(*refusal.said)]
    if known.get("eating_concern"):
        found.append("eating_concern")
    return tuple(dict.fromkeys(found))


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
    sites = chosen(known)
    folds = tuple(name for name in sites if BY_NAME[name].kind == "skinfold")
    months = known.get("surgery_months_ago")
    found = {}
    if known.get("consent.touch") is False:
        found["no_touch"] = folds
    if known.get("prepared.skin") is False:
        found["skin_not_ready"] = folds
    if known.told(*NO_FOLDS):
        found["bleeds_easily"] = folds
    is_healing = months is not None and months < NO_WAIST_AFTER_SURGERY
    if known.told(*NO_WAIST) or is_healing or known.get("pregnant"):
        found["no_waist"] = tuple(name for name in sites if name in WAISTS)
    if known.get("consent.uncover") is False:
        found["covered"] = tuple(name for name in sites if name in COVERED)
    return {code: names for code, names in found.items() if names}


def planned(known: Known) -> tuple[str, ...]:
    """Return the sites of the session in their order.

    Where all folds fall away the tape takes their place, so that the client still gets a range.
    """
    sites = dict.fromkeys(chosen(known))
    out = left_out(known)
    gone = {name for names in out.values() for name in names}
    folds = {name for name in sites if BY_NAME[name].kind == "skinfold"}
    if folds and folds <= gone:
        tape = PLAN_BY_KEY["tape"].sites(known.get("sex", "female"))
        sites |= dict.fromkeys(tape)
        gone |= {name for name in tape if name in WAISTS} if "no_waist" in out else set()
    return _in_order({name: None for name in sites if name not in gone})


def has_folds(known: Known) -> bool:
    """Whether the session lifts any fold."""
    return any(BY_NAME[name].kind == "skinfold" for name in planned(known))


def over_clothing(known: Known) -> tuple[str, ...]:
    """Return the girths that are taken over one thin layer."""
    if known.get("consent.uncover") is not False:
        return ()
    return tuple(name for name in planned(known) if name in CORRECTED)


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
    yield Prompt("finish", "ready")


def _is_asked(known: Known, name: str, turn: int) -> bool:
    """Whether a round asks for a site: not again what could not be taken."""
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
