"""Letter of a row: for somebody who is referred and of whose row no visit can be made."""

from __future__ import annotations

from math import isnan
from typing import Any

from foldspan.pages.document import (
    Bullets,
    Document,
    Facts,
    Heading,
    Notice,
    Paragraph,
    Part,
    Signature,
    Table,
)
from foldspan.pages.sanitise import as_typed
from foldspan.pages.staff_parts import reference
from foldspan.quantities import BY_NAME
from foldspan.screening.letters import LetterFor
from foldspan.standards.intake_vocabulary import ALL_WORDS, OWN_LINES
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.tables.findings import Mark
from foldspan.text.catalogue import LANGUAGES
from foldspan.text.en.flags import row_sentence
from foldspan.text.en.grounds import IF_RIGHT, joined_grounds
from foldspan.text.en.notices import how_soon, soonest
from foldspan.text.en.reconcile import REFUSAL_WORDS, capital
from foldspan.text.screen import WHY_NO_RANGE, mark_words
from foldspan.visit.from_row import RowFacts
from foldspan.visit.model import ABOUT_WHAT_WAS_TOLD


def row_letter(letter: LetterFor) -> Document:
    """Return a letter that tells what the row told: why it refers, what was told, measured, in doubt."""
    language = LANGUAGES["en"]
    say = language.say
    rules = [RULE_BY_CODE[code] for code in letter.flags]
    soon = soonest((rule.code, rule.level) for rule in rules)
    parts: list[Part] = [_who(say, letter.client), Paragraph(say("staff.dear"))]
    lead = {"opening": say("staff.not_estimated"), "level": say(f"staff.soon.{soon}")}
    parts.append(Paragraph(say("staff.referred", **lead), is_lead=True))
    rows = tuple(
        (
            capital(say(f"staff.soon.{how_soon(rule.code, rule.level)}")),
            row_sentence(rule, joined_grounds((ground.code, ground.text) for ground in grounds)),
            say("staff.status", source=reference(rule.source), status=rule.status),
        )
        for rule, grounds in zip(rules, letter.grounds, strict=True)
    )
    header = tuple(say(f"staff.{name}") for name in ("how_soon", "rule", "source"))
    parts += [Heading(say("staff.why_referred")), Table("", header, rows)]
    reported, measured = _reported(letter), _measured(letter)
    if reported:
        parts += [Heading(say("staff.told")), Bullets(reported)]
    why, doubts = _why_no_range(letter.problems), _doubts(letter.problems)
    if why:
        parts += [Heading(say("staff.no_range")), Bullets(why)]
    if doubts:
        parts += [Heading(say("staff.in_doubt")), Bullets(doubts)]
    if measured:
        parts += [Heading(say("staff.measures")), Table("", _two(say), measured)]
    parts += [
        Heading(say("staff.not_measured")),
        Bullets((say("staff.row_no_range"), say("staff.no_lab"))),
    ]
    parts += [
        Paragraph(say("staff.closing")),
        Notice(say("staff.consent"), (say("staff.ask_first"),)),
        Signature((say("staff.sign_client"), say("staff.sign_sender"))),
    ]
    return Document(
        say("staff.clinician"),
        language.code,
        tuple(parts),
        (),
        "a4",
        as_typed(letter.client.code),
    )


def _two(say: Any) -> tuple[str, str]:
    return say("staff.site"), say("staff.accepted")


def _reported(letter: LetterFor) -> tuple[str, ...]:
    """What the client told, in words and in numbers."""
    meaning = {**ALL_WORDS, **OWN_LINES}
    words = [meaning[word] for word in letter.reported if word in meaning]
    return tuple(map(capital, (*words, *(number.text for number in letter.numbers))))


def _measured(letter: LetterFor) -> tuple[tuple[str, str], ...]:
    """What was measured, the body mass index first."""
    name = "BMI" if letter.is_bmi_used else f"BMI, {IF_RIGHT}"
    first = () if isnan(letter.bmi) else ((name, f"{letter.bmi:.1f} kg/m²"),)
    return first + tuple(
        (capital(BY_NAME[name].label), f"{value:.4g} {BY_NAME[name].unit}")
        for name, value in letter.measured
    )


def _why_no_range(problems: tuple[Mark, ...]) -> tuple[str, ...]:
    """Why the equations do not hold for this client, in the words of the letter of a visit."""
    codes = dict.fromkeys(mark.code for mark in problems if mark.code in REFUSAL_WORDS)
    # where it is open which equations fit, a letter of a row has no answers to stand side by side
    words = {code: REFUSAL_WORDS[code][0] for code in codes}
    words |= {"E207": WHY_NO_RANGE["E207"]} if "E207" in words else {}
    return tuple(f"{capital(word)}." for word in words.values())


def _doubts(problems: tuple[Mark, ...]) -> tuple[str, ...]:
    """What is in doubt about the measurements, without the advice to whoever keeps the table."""
    words = [
        mark_words(mark).split(";")[0]
        for mark in problems
        if mark.code not in REFUSAL_WORDS and mark.code not in ABOUT_WHAT_WAS_TOLD
    ]
    return tuple(dict.fromkeys(capital(_named(*text.split(": ")[:2])) for text in words))


def _named(first: str, *more: str) -> str:
    """A doubt with the names of quantities as people say them."""
    names = [BY_NAME[name].label if name in BY_NAME else name for name in first.split(", ")]
    return ": ".join((", ".join(names), *more)).replace("_", " ")


def _who(say: Any, client: RowFacts) -> Facts:
    age = client.age_years
    rows = [
        (say("staff.code"), as_typed(client.code)),
        (say("staff.day"), "" if client.day is None else str(client.day)),
        (say("staff.sex"), "" if client.sex is None else say(f"staff.{client.sex}")),
        (say("staff.age"), "" if age is None else say("staff.years", years=int(age))),
        (say("staff.tester"), as_typed(client.tester)),
    ]
    return Facts(tuple((name, value) for name, value in rows if value))
