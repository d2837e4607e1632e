"""Letter sheet: the frame of every letter to a clinician, on one page; it tells findings, not rules.

From the head down: who writes to whom and about whom, what is asked and how soon, the findings, what the
client knows and agreed to, a place for an answer, and in small print rules and sources.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from foldspan.pages.document import (
    AnswerLines,
    Bullets,
    Document,
    FillIn,
    Heading,
    Letterhead,
    Notice,
    Paragraph,
    Part,
    Signature,
)
from foldspan.pages.letter_reasons import Reason, notes_of
from foldspan.pages.letter_reasons import RuleMet as RuleMet
from foldspan.pages.sanitise import as_typed
from foldspan.practice.model import Practice
from foldspan.text.catalogue import Language
from foldspan.text.en.notices import soonest


@dataclass(frozen=True, slots=True, repr=False)
class Letter:
    """What one letter tells."""

    language: Language
    """The language it is written in."""
    practice: Practice | None
    """Who writes, None where that is not known."""
    paper: str
    """``a4`` or ``us-letter``."""
    code: str
    """The client's code."""
    tester: str
    """Who measured."""
    day: date | None
    """The day of the visit."""
    about: str
    """Age, and the sex that the equations used."""
    is_estimated: bool
    """Whether it gives a range."""
    met: tuple[RuleMet, ...]
    """Rules that were met, the most urgent first."""
    reasons: tuple[Reason, ...]
    """What met them, each once, the most urgent first."""
    findings: tuple[Part, ...]
    """What was told and measured beside that."""
    is_careful: bool
    """Whether eating is a worry."""
    agreed: bool = False
    """Whether the client agreed to share it."""
    agreed_anew: bool = False
    """Whether that was a yes after a no."""
    units: str = "metric"
    """Units, which decide how a day is written."""
    remarks: tuple[str, ...] = ()
    """More small print."""


def sheet(letter: Letter) -> Document:
    """Return the letter as a page."""
    say = letter.language.say
    parts: list[Part] = [_who(letter), Paragraph(say("letter.dear"))]
    parts += [*_why(letter), *letter.findings, *_knows(letter)]
    parts += [AnswerLines(say("letter.answer")), Signature(_signers(letter))]
    notes = notes_of(letter.language, letter.met)
    small = (*filter(None, (notes, *letter.remarks)), say("letter.closing"))
    day = "" if letter.day is None else str(letter.day)
    running = " · ".join(text for text in (as_typed(letter.code), day) if text)
    return Document(
        say("letter.title"), letter.language.code, tuple(parts), small, letter.paper, running,
        _letterhead(letter.practice),
    )  # fmt: skip


def _letterhead(practice: Practice | None) -> Letterhead | None:
    if practice is None:
        return None
    lines = (practice.address, practice.telephone, practice.letterhead)
    head = Letterhead(as_typed(practice.name), tuple(map(as_typed, lines)), practice.logo)
    return head if head.texts() or head.logo else None


def _who(letter: Letter) -> FillIn:
    """Who writes, to whom and about whom: we know a code, the name is written in by hand."""
    say, practice = letter.language.say, letter.practice
    day = "" if letter.day is None else letter.language.day(letter.day, letter.units)
    rows = (
        ("to", ""),
        ("from", "" if practice is None else as_typed(practice.name)),
        ("client", ""),
        ("birth", ""),
        ("code", as_typed(letter.code)),
        ("about", letter.about),
        ("date", day),
        ("tester", as_typed(letter.tester)),
    )
    labels, values = zip(*((say(f"letter.{name}"), value) for name, value in rows), strict=True)
    return FillIn(labels, values, columns=2)


def _why(letter: Letter) -> list[Part]:
    """What is asked and how soon, then the reasons: those that are as urgent first."""
    say = letter.language.say
    opening = say("letter.estimated" if letter.is_estimated else "letter.not_estimated")
    referring = [
        (finding.rule.code, finding.rule.level) for finding in letter.met if _refers(finding)
    ]
    groups: dict[str, list[str]] = {}
    for reason in letter.reasons:
        groups.setdefault(reason.soon, []).append(reason.line())
    if referring:
        first = soonest(referring)
        level = say(f"staff.soon.{first}")
        parts: list[Part] = [
            Heading(say("letter.why")),
            Paragraph(say("letter.ask", level=level), is_lead=True),
            Paragraph(say("letter.because", opening=opening)),
            Bullets(tuple(groups.pop(first, ()))),
        ]
    else:
        lead = f"{opening} {say('letter.ask_none')}"
        parts = [Heading(say("letter.why_none")), Paragraph(lead, is_lead=True)]
    for soon, lines in groups.items():
        parts += [Paragraph(_group(letter.language, soon)), Bullets(tuple(lines))]
    return parts


def _refers(met: RuleMet) -> bool:
    return met.rule.level.startswith("refer")


def _group(language: Language, soon: str) -> str:
    key = f"letter.group_{soon}"
    if key in language.sentences:
        return language.say(key)
    return language.say("letter.group", level=language.say(f"staff.soon.{soon}"))


def _knows(letter: Letter) -> list[Part]:
    """What the client agreed to, and what the sender ticks; where eating is a worry, how to speak."""
    say = letter.language.say
    if not letter.agreed:
        key = "ask_first_careful" if letter.is_careful else "ask_first"
    else:
        key = "agreed_anew" if letter.agreed_anew else "agreed"
    lines = [say(f"letter.{key}")]
    lines.append(say("letter.ticks_careful" if letter.is_careful else "letter.ticks"))
    lines += [say("letter.careful")] if letter.is_careful else []
    return [Notice(say("letter.knows"), tuple(lines))]


def _signers(letter: Letter) -> tuple[str, ...]:
    # where numbers may harm nobody asks the client to sign below them
    names = ["sign_clinician", "sign_sender"]
    if not letter.agreed and not letter.is_careful:
        names.insert(0, "sign_client")
    return tuple(letter.language.say(f"letter.{name}") for name in names)
