"""Reasons of a letter: each finding once, with the numbers of the rules that it met, and their notes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from foldspan.pages.staff_parts import reference
from foldspan.results.spoken import Ground
from foldspan.standards.card import Status
from foldspan.standards.referral_rules import SURE_AT, Rule
from foldspan.text.catalogue import Language
from foldspan.text.en.flags import limit_of
from foldspan.text.en.grounds import joined_grounds, self_reported_words
from foldspan.text.en.letter import TOPICS
from foldspan.text.en.notices import GROUPS, how_soon
from foldspan.text.en.reconcile import capital

SMALL_DIGITS = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")


@dataclass(frozen=True, slots=True, repr=False)
class RuleMet:
    """One rule that was met, with what stands behind it."""

    rule: Rule
    """The rule."""
    grounds: tuple[Ground, ...]
    """What was measured or told, empty for nothing to name."""
    chance: float = 1.0
    """Chance that it holds [0 to 1]."""


@dataclass(slots=True, repr=False)
class Reason:
    """One line of the letter; ``notes`` are the numbers of its rules."""

    soon: str
    text: str
    notes: list[int]

    def line(self) -> str:
        """Return it with the numbers of its notes."""
        return f"{self.text}.{raised(self.notes)}"


def raised(numbers: Iterable[int]) -> str:
    """Return numbers of notes as small digits above the line."""
    return ",".join(str(number).translate(SMALL_DIGITS) for number in numbers)


def reasons_of(
    language: Language, met: Sequence[RuleMet], shown: Mapping[str, str]
) -> tuple[list[Reason], set[str]]:
    """Return the reasons, the most urgent first, and what they told: intake words, keys of grounds.

    What several rules read is told where the first of them stands; a rule that reads nothing else only
    adds its number there. ``shown`` holds by their keys what is said in place of the text of a ground.
    """
    found: list[Reason] = []
    home: dict[str, int] = {}
    for number, finding in enumerate(met, start=1):
        keys = [key for ground in finding.grounds for key in _keys(ground)]
        new = [key for key in keys if key not in home]
        if keys and not new:
            found[home[keys[0]]].notes.append(number)
            continue
        home |= dict.fromkeys(new, len(found))
        text = _text(language, finding, new, shown)
        found.append(Reason(how_soon(finding.rule.code, finding.rule.level), text, [number]))
    return sorted(found, key=lambda reason: GROUPS.index(reason.soon)), set(home)


def key_of(ground: Ground) -> str:
    """Return what tells one thing that was measured or told from another."""
    return f"{ground.code} {dict(ground.numbers)}"


def _keys(ground: Ground) -> tuple[str, ...]:
    return ground.words if ground.code == "told" else (key_of(ground),)


def _text(language: Language, met: RuleMet, new: Sequence[str], shown: Mapping[str, str]) -> str:
    reported = [key for ground in met.grounds if ground.code == "told" for key in ground.words]
    words = [word for word in reported if word in new]
    pieces = [
        (ground.code, shown.get(key_of(ground), ground.text))
        for ground in met.grounds
        if ground.code != "told" and key_of(ground) in new
    ]
    pieces += [("told", f"self-reported: {self_reported_words(words)}")] if words else []
    text, topic = joined_grounds(pieces) or met.rule.when, TOPICS.get(met.rule.code, "")
    if topic:
        text = f"{topic}: {text}".replace(": weight ", ": ", 1)
    if met.chance < SURE_AT:
        tenths = min(round(10.0 * met.chance), 9)
        text = language.say("letter.borderline", finding=text, chance=tenths)
    return capital(text)


def notes_of(language: Language, met: Sequence[RuleMet]) -> str:
    """Return the limits and sources of the rules that were met, a source in full once, and its status.

    What a rule could have found beside its findings is no part of them, and notes alike are one.
    """
    alike: dict[tuple[str, str, Status], list[int]] = {}
    for number, finding in enumerate(met, start=1):
        limit = limit_of(finding.rule) if finding.grounds else ""
        alike.setdefault((limit, finding.rule.source, finding.rule.status), []).append(number)
    first: dict[str, int] = {}
    lines = []
    for (limit, source, status), numbers in alike.items():
        known = {"number": raised(numbers), "status": status, "limit": capital(limit)}
        key = "letter.limit" if limit else "letter.note"
        if source in first:
            key, known = f"{key}_as", known | {"other": str(first[source])}
        else:
            known |= {"source": reference(source)}
            first[source] = numbers[0]
        lines.append(language.say(key, **known))
    return " ".join(lines)
