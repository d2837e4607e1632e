"""Questions: what a measuring session asks, in order, as far as its answers tell.

Order: who, whether it may be kept, what speaks against measuring, the plan, consent item by item,
preparation, landmarks, then every site once and every site again, then third readings where two
disagree. Nobody is asked what an earlier no has settled.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from foldspan.intake.rules import LISTS, is_after_birth
from foldspan.protocol.plans import PLAN_BY_KEY
from foldspan.quantities import BY_NAME
from foldspan.session.answers import (
    WHO,
    Kind,
    Known,
    Prompt,
    is_healing,
    is_minor,
    is_narrow,
    is_urgent,
    reported_last_time,
    sexes_of,
    wants_third,
    who_last_time,
)
from foldspan.session.pages import paged
from foldspan.session.sites import asked_for, guide_of, has_folds, planned
from foldspan.standards.referral_rules import REFUSALS

# Ages at which pregnancy, a birth and periods are asked about (common practice, no source).
ASKED_OF_WOMEN = (18.0, 55.0)
OPERATED = ("belly", "chest", "elsewhere")


def script(known: Known) -> Iterator[Prompt]:
    """Yield every prompt of a session, in order, as far as the answers so far tell them."""
    for prompt in _until_the_plan(known):
        yield prompt
        is_gate = prompt.key.startswith("go_on.") or prompt.key == "guardian"
        if is_gate and known.get(prompt.key) is not True:
            yield Prompt("done", "done")
            return
    if is_narrow(known):
        yield from _permissions(known, ("writer", "show", "share"))
        yield Prompt("consent.witness", "yes_no")
        yield from _rounds(known)
        yield Prompt("done", "done")
        return
    if known.get("plan") is None:
        yield Prompt("plan", "plan", words=tuple(PLAN_BY_KEY))
        return
    yield from _permissions(known, asked_for(known))
    yield Prompt("consent.witness", "yes_no")
    prepared = [Prompt("prepared.rested", "yes_no")]
    if has_folds(known) or known.get("prepared.skin") is False:
        prepared.insert(0, Prompt("prepared.skin", "yes_no"))
    yield from paged(known, "page.prepared", "permit", prepared)
    if has_folds(known) and not known.facts.get("calliper"):
        yield Prompt("calliper", "word", is_optional=True)
    yield from _rounds(known)
    yield Prompt("done", "done")


def _permissions(known: Known, items: Iterable[str]) -> Iterator[Prompt]:
    """Ask for consent, item by item, on one page."""
    prompts = [Prompt(f"consent.{item}", "yes_no") for item in items]
    yield from paged(known, "page.consent", "permit", prompts)


def _until_the_plan(known: Known) -> Iterator[Prompt]:
    """Ask who it is and what speaks against measuring; each reason comes up as soon as it is told."""
    yield Prompt("code", "word")
    if not known.facts.get("tester"):
        yield Prompt("tester", "word", is_optional=True)
    who = [
        Prompt("sex", "choice", words=("female", "male", "both")),
        Prompt("age_years", "number"),
    ]
    yield from paged(known, WHO, "still", who) if who_last_time(known) else who
    if is_minor(known):
        # sessions of earlier versions asked for the guardian in one breath with going on
        if "guardian" in known.answers or "go_on.E201" not in known.answers:
            yield Prompt("guardian", "yes_no")
        yield Prompt("go_on.E201", "yes_no")
    yield Prompt("consent.store", "yes_no")
    if offers_still(known):
        yield Prompt("still", "still", words=tuple(reported_last_time(known)))
    asks_women = "female" in sexes_of(known) and _is_between(known, ASKED_OF_WOMEN)
    if asks_women:
        yield from _of_women(known)
    yield Prompt("eating_concern", "yes_no", is_optional=True)
    if known.get("eating_concern"):
        yield Prompt("go_on.eating_concern", "yes_no")
    yield from _health(known)


def offers_still(known: Known) -> bool:
    """Whether what was told last time is shown, to say in one step that it is still so."""
    if "still" in known.answers:
        return True
    return any(answer is not None for answer in reported_last_time(known).values()) and not any(
        key in known.answers for key in (*LISTS, "eating_concern", "pregnant", "page.women")
    )


def _of_women(known: Known) -> Iterator[Prompt]:
    """Ask for a pregnancy, a birth and periods; a pregnancy makes the others idle."""
    prompts = [Prompt("pregnant", "yes_no", is_optional=True)]
    if not known.get("pregnant"):
        prompts += [
            Prompt("birth_months_ago", "number", is_optional=True),
            Prompt("periods_stopped", "yes_no", is_optional=True),
        ]
    yield from paged(known, "page.women", "those", prompts)
    if known.get("pregnant"):
        yield Prompt("go_on.E202", "yes_no")
    birth = known.number("birth_months_ago")
    if birth is not None and is_after_birth(birth) and not known.get("pregnant"):
        yield Prompt("go_on.E204", "yes_no")


def _health(known: Known) -> Iterator[Prompt]:
    """Ask for signs, conditions and medicines, then what the health standards go by."""
    yield Prompt("symptoms", "words", is_optional=True)
    # by the symptoms alone: what comes later has its gate behind it, or it would hang on its own answer
    if is_urgent(_until_symptoms(known)):
        yield Prompt("go_on.urgent", "yes_no")
    yield from _refusals(known, "symptoms")
    for name in ("conditions", "medicines"):
        yield Prompt(name, "words", is_optional=True)
        yield from _refusals(known, name)
    yield from paged(known, "page.more", "those", [*_more(known)])
    if is_urgent(known):
        yield Prompt("go_on.urgent", "yes_no")


def _until_symptoms(known: Known) -> Known:
    later = ("conditions", "medicines", "blood_pressure_mmhg")
    return replace(
        known, answers={key: answer for key, answer in known.answers.items() if key not in later}
    )


def _refusals(known: Known, name: str) -> Iterator[Prompt]:
    """Ask whether to go on where a word of a list leaves no range."""
    for refusal in REFUSALS:
        key = f"go_on.{refusal.problem}"
        # earlier versions passed over what was told among the symptoms
        is_passed = name == "symptoms" and "conditions" in known.answers
        if set(refusal.intake_words) & set(known.words(name)) and (
            key in known.answers or not is_passed
        ):
            yield Prompt(key, "yes_no")


def _more(known: Known) -> Iterator[Prompt]:
    """What else there may be to tell."""
    yield Prompt("surgery_months_ago", "number", is_optional=True)
    if is_healing(known):
        yield Prompt("operated", "choice", words=OPERATED)
    if is_minor(known):
        return
    yield Prompt("blood_pressure_mmhg", "pressure", is_optional=True)
    if known.get("pregnant"):
        return
    if not known.get("eating_concern"):
        yield Prompt("earlier_weight_kg", "number", is_optional=True)
        if known.number("earlier_weight_kg") is not None:
            yield Prompt("earlier_weight_months_ago", "number", is_optional=True)
    yield Prompt("athlete", "yes_no", is_optional=True)
    # a session of an earlier version that is past its plan is not taken back to a new question
    is_past = "plan" in known.answers and not {"page.more", "still"} & set(known.answers)
    if "anabolic_drugs" in known.answers or not is_past:
        yield Prompt("anabolic_drugs", "yes_no", is_optional=True)
    yield Prompt("family_background", "background", is_optional=True)


def _is_between(known: Known, ages: tuple[float, float]) -> bool:
    age = known.number("age_years")
    return age is not None and ages[0] <= age <= ages[1]


def _rounds(known: Known) -> Iterator[Prompt]:
    sites = planned(known)
    marks = []
    for name in sites:
        guide = guide_of(known, name)
        if BY_NAME[name].kind == "skinfold" or guide.mark is not None:
            kind: Kind = "ready" if guide.mark is None else "number"
            marks.append(Prompt(f"mark.{name}", kind, name, is_optional=True))
    if "landmarks.each" in known.answers:
        yield from marks
    else:
        yield from paged(known, "page.marks", "sites", marks)
    last = ""
    for turn in (1, 2, 3):
        round_ = [site for site in sites if _is_asked(known, site, turn)]
        put_off = [site for site in round_ if f"{turn}.{site}" in known.later]
        for name in [*(site for site in round_ if site not in put_off), *put_off]:
            yield Prompt(f"{turn}.{name}", "reading", name, turn, rests=name == last)
            last = name
    now = [weight for turn in (1, 2, 3) if (weight := known.value(turn, "weight_kg")) is not None]
    before = known.number("earlier_weight_kg")
    if before is not None and now and now[-1] < before:
        yield Prompt("loss_wanted", "yes_no", is_optional=True)
    yield Prompt("finish", "ready")


def _is_asked(known: Known, name: str, turn: int) -> bool:
    """Whether a round asks for a site: not again what could not be taken, or not be marked."""
    mark = known.get(f"mark.{name}")
    if isinstance(mark, Mapping) and "cannot" in mark:
        return False
    if turn == 3:
        return wants_third(known, name)
    return turn == 1 or f"1.{name}" not in known.answers or known.value(1, name) is not None
