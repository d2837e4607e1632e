"""Letter of a row: for somebody who is referred and of whose row no visit can be made."""

from __future__ import annotations

from math import isnan

from foldspan.pages.document import Bullets, Document, Heading, Part
from foldspan.pages.letter_reasons import RuleMet, key_of, reasons_of
from foldspan.pages.letter_sheet import Letter, sheet
from foldspan.practice.model import Practice
from foldspan.quantities import BY_NAME
from foldspan.results.spoken import Ground
from foldspan.screening.letters import LetterFor
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.tables.findings import Mark
from foldspan.text.catalogue import LANGUAGES, Language
from foldspan.text.en.grounds import self_reported_words
from foldspan.text.en.reconcile import REFUSAL_WORDS, capital
from foldspan.text.en.self_reported import SELF_REPORTED_WORDS
from foldspan.text.screen import WHY_NO_RANGE, mark_words
from foldspan.visit.from_row import RowFacts
from foldspan.visit.model import ABOUT_SELF_REPORTS


def row_letter(letter: LetterFor, practice: Practice | None = None, paper: str = "a4") -> Document:
    """Return a letter that tells what the row told: why it refers, what was told, measured, in doubt."""
    language = LANGUAGES["en"]
    client = letter.client
    met = tuple(
        RuleMet(RULE_BY_CODE[code], grounds)
        for code, grounds in zip(letter.flags, letter.grounds, strict=True)
    )
    reasons, in_reasons = reasons_of(language, met, {})
    return sheet(
        Letter(
            language=language,
            practice=practice,
            paper=paper,
            code=client.code,
            tester=client.tester,
            day=client.day,
            about=_about(language, client),
            is_estimated=False,
            met=met,
            reasons=tuple(reasons),
            findings=tuple(_findings(language, letter, in_reasons)),
            is_careful="eating_concern" in letter.reported,
        )
    )


def _findings(language: Language, letter: LetterFor, in_reasons: set[str]) -> list[Part]:
    """What was told and measured beside the reasons, why there is no range, what is in doubt."""
    say = language.say
    reported, measured = _reported(letter, in_reasons), _measured(letter, in_reasons)
    why, doubts = _why_no_range(letter.problems), _doubts(letter.problems)
    day = letter.client.day
    parts: list[Part] = []
    for title, lines in (
        (say("letter.self_reported"), reported),
        (say("letter.measured", day=language.day(day)) if day else say("letter.measured_no_day"),
         measured),
        (say("staff.no_range"), why),
        (say("letter.in_doubt"), doubts),
        (say("letter.not_known"), (say("staff.row_no_range"), say("letter.no_lab"))),
    ):  # fmt: skip
        parts += [Heading(title), Bullets(lines)] if lines else []
    return parts


def _reported(letter: LetterFor, in_reasons: set[str]) -> tuple[str, ...]:
    """What the client told, in words and in numbers, without what stands among the reasons already."""
    words = self_reported_words(
        word for word in letter.reported if word in SELF_REPORTED_WORDS and word not in in_reasons
    )
    numbers = [number.text for number in letter.numbers if key_of(number) not in in_reasons]
    return tuple(f"{capital(text)}." for text in (words, *numbers) if text)


def _measured(letter: LetterFor, in_reasons: set[str]) -> tuple[str, ...]:
    """What was measured, the body mass index first unless a reason tells it."""
    index = Ground("bmi" if letter.is_bmi_used else "bmi_if_right", {"value": letter.bmi})
    is_in_reason = isnan(letter.bmi) or key_of(index) in in_reasons
    sizes = [
        f"{BY_NAME[name].label} {value:.4g} {BY_NAME[name].unit}" for name, value in letter.measured
    ]
    text = ", ".join([*([] if is_in_reason else [index.text]), *sizes])
    return (f"{capital(text)}.",) if text else ()


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
        if mark.code not in REFUSAL_WORDS and mark.code not in ABOUT_SELF_REPORTS
    ]
    return tuple(dict.fromkeys(capital(_named(*text.split(": ")[:2])) for text in words))


def _named(first: str, *more: str) -> str:
    """A doubt with the names of quantities as people say them."""
    names = [BY_NAME[name].label if name in BY_NAME else name for name in first.split(", ")]
    return ": ".join((", ".join(names), *more)).replace("_", " ")


def _about(language: Language, client: RowFacts) -> str:
    """Age, and the sex that the equations would have used, as far as the row says."""
    age = client.age_years
    words = [] if age is None else [language.say("staff.years", years=int(age))]
    words += [] if client.sex is None else [language.say(f"staff.{client.sex}")]
    return ", ".join(words) or language.say("letter.no_value")
