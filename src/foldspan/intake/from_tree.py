"""Reading ``[intake]``: what the client told before measuring; contradictions are asked back."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from datetime import date
from numbers import Real
from typing import Any, Protocol

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.intake.model import QUESTIONS, Intake
from foldspan.intake.pressure_text import highest_pair, pressures_in
from foldspan.intake.rules import (
    EARLIER_WEIGHTS,
    LISTS,
    MARKS,
    MOST_MONTHS,
    PRESSURES,
    SPANS,
    are_crossed,
    earlier_times,
    earlier_weights,
    is_pressure,
)
from foldspan.intake.word_search import names_an_old_word, near_words, says_none, words_in
from foldspan.units import plain_number


class Reader(Protocol):
    """What reading needs of the reader of the whole visit; see ``visit.reader``."""

    asks_back: bool

    def note(self, code: str, place: str, what: str, remedy: str, given: object = "") -> None:
        """Add a problem."""

    def unknown(self, place: str, name: str, known: tuple[str, ...], kind: str) -> None:
        """Report an unknown name."""

    def section(
        self, tree: Mapping[str, Any], name: str, known: tuple[str, ...]
    ) -> Mapping[str, Any]:
        """Return a section as a mapping, its unknown keys reported."""

    def truth(self, section: Mapping[str, Any], name: str, where: str = "client") -> bool:
        """Return a yes or no."""

    def day(self, given: Any, place: str) -> date | None:
        """Return a date, or None."""


INTAKE_KEYS = (
    "earlier_weight_kg", "weight_lost_kg", "earlier_weight_months_ago", "earlier_weight_date",
    "loss_wanted", *LISTS, "surgery_months_ago", "birth_months_ago", *MARKS, "grip_kg",
    "blood_pressure_mmhg",
)  # fmt: skip
AGAIN = "Ask again, or leave it out."
# questions whose lines stand in [client]
ABOUT_CLIENT = ("pregnant", "athlete", "family_background")
# lines in which "none" says that it was asked and does not apply
NUMBERED = ("surgery_months_ago", "birth_months_ago", "blood_pressure_mmhg", "earlier_weight_kg")


def joined_word(text: str) -> str:
    """Return a word of the intake as it stands in the lists, however it was typed."""
    return re.sub(r"[\s-]+", "_", text.strip().lower())


class IntakeReader:
    """Reads one intake beside the weight, the sex and the date of its visit."""

    def __init__(self, reader: Reader, tree: Mapping[str, Any]) -> None:
        self.reader = reader
        self.tree = tree
        lines = reader.section(tree, "intake", INTAKE_KEYS)
        # a line that holds nothing was not asked, whatever it is about
        self.reported = {name: answer for name, answer in lines.items() if answer is not None}
        self.given = {
            name: answer
            for name, answer in self.reported.items()
            if name not in NUMBERED or not says_none(answer)
        }

    def is_reported(self, section: str, name: str) -> bool:
        """Whether a line stands in another section, right or wrong."""
        lines = self.tree.get(section)
        return isinstance(lines, Mapping) and name in lines

    def note(self, name: str, code: str, what: str, remedy: str, given: object = "") -> None:
        """Add a problem about one line of the intake."""
        self.reader.note(code, f"[intake] {name}", what, remedy, given)

    def answered_none(self) -> tuple[str, ...]:
        """Questions that were put and answered with none or no."""
        client = self.tree.get("client")
        about = client if isinstance(client, Mapping) else {}
        reported = {name: about[name] for name in ABOUT_CLIENT if name in about} | self.reported
        return tuple(
            name
            for name in QUESTIONS
            if name in reported
            and (reported[name] is False or says_none(reported[name]) or reported[name] in ([], ()))
        )

    def words(self) -> tuple[str, ...]:
        """Every word that was told and every mark that is set."""
        found: list[str] = []
        for name, known in LISTS.items():
            listed = self.given.get(name, [])
            if isinstance(listed, str):
                listed = [listed]
            if not isinstance(listed, (list, tuple)):
                self.note(name, "E121", "not a list of words", f'Write {name} = ["…"].')
                continue
            for given in () if len(listed) == 1 and says_none(listed[0]) else listed:
                found += self._words_of(name, known, given)
        found += [name for name in MARKS if self.reader.truth(self.given, name, "intake")]
        return tuple(dict.fromkeys(found))

    def _words_of(self, name: str, known: Mapping[str, str], given: object) -> tuple[str, ...]:
        """The known words of one entry of a list; whatever else it says is reported."""
        if not isinstance(given, str) or not given.strip():
            self._unknown_word(name, given)
            return ()
        read = words_in(given, known)
        for word in read.elsewhere:
            home = next((other for other, words in LISTS.items() if word in words), "")
            remedy = (
                f"Write it in {home}." if home else f"Write {word} = true on a line of its own."
            )
            if word == "pregnant":
                remedy = "Write pregnant = true in [client]."
            self.note(name, "E113", "this word belongs to another list", remedy, word)
        for word in read.denied:
            what = f"says that {word} does not apply"
            self.note(name, "E113", what, "List only what applies.", word)
        if names_an_old_word(given, known):
            what = "could mean corticosteroids or anabolic drugs; read as corticosteroid tablets"
            remedy = (
                "For corticosteroid tablets write cortisone_tablets; for anabolic drugs, remove the"
                " word and write anabolic_drugs = true."
            )
            self.note(name, "W128", what, remedy)
        for text in read.rest:
            self._unknown_word(name, joined_word(text))
        return read.words

    def _unknown_word(self, name: str, word: object) -> None:
        near = near_words(str(word), LISTS[name])
        meant = f"Did you mean {' or '.join(near)}? " if near else ""
        known = ", ".join(LISTS[name])
        self.note(name, "E113", "not a known word", f"{meant}Known words: {known}.", word)

    def number(self, name: str) -> float | None:
        """A number inside its span, in the unit of its name or with its own, or None."""
        (least, most), unit = SPANS[name], "kg" if name.endswith("_kg") else "months"
        given = self.given.get(name)
        if given is None:
            return None
        if isinstance(given, bool) or not isinstance(given, (Real, str)):
            self.note(name, "E101", "not a number", f"Write a number of {unit}.", given)
            return None
        place, shape = f"[intake] {name}", f"Write a number of {unit}."
        value = plain_number(self.reader.note, given, unit, place, shape=shape, again=AGAIN)
        if value is not None and not least <= value <= most:
            self.note(name, "E102", f"outside {least:g} to {most:g} {unit}", AGAIN, given)
            return None
        return value

    def mass(self, name: str) -> float | None:
        """A weight, or a difference of weights [kg]; a text may carry its unit."""
        if name not in self.given:
            return None
        shape = "Write a number in kg, or a text with its unit."
        place = f"[intake] {name}"
        value = plain_number(
            self.reader.note, self.given[name], "kg", place, shape=shape, again=AGAIN
        )
        if value is None:
            return None
        if value <= 0.0:
            self.note(name, "E107", "zero or negative", AGAIN, self.given[name])
            return None
        return value

    def earlier_weight(self, weight: float | None) -> float | None:
        """The weight before the loss, from itself or from the loss."""
        reported, lost = self.mass("earlier_weight_kg"), self.mass("weight_lost_kg")
        if reported is None and lost is None:
            return None
        if lost is not None and says_none(self.reported.get("earlier_weight_kg")):
            what = "a loss is given, but earlier_weight_kg says that there was none"
            self.note("weight_lost_kg", "E125", what, "Ask again and keep one of the two.")
            return None
        name = "weight_lost_kg" if reported is None else "earlier_weight_kg"
        if weight is None:
            if self.is_reported("mass_height", "weight_kg"):
                return None  # that one is at fault, and said so
            self.note(name, "E120", "needs the weight of the visit",
                      "Add weight_kg to [mass_height].")  # fmt: skip
            return None
        asks_back = np.array([self.reader.asks_back])
        found = earlier_weights(*map(_array, (weight, reported, lost)), asks_back=asks_back)
        if found.is_apart[0]:
            what = "does not match weight_lost_kg and the weight of the visit"
            self.note(name, "E125", what, "Ask again and keep one of the two.")
        elif found.is_halved[0]:
            what = "the loss is larger than the weight that is left"
            self.note(name, "E125", what, "Check the number and its unit.")
        elif found.is_outside[0]:
            low, high = EARLIER_WEIGHTS
            self.note(name, "E102", f"impossible: outside {low:g} to {high:g} kg", AGAIN)
        return _or_none(found.value)

    def months(self, day: date | None) -> float | None:
        """How many months before the visit the earlier weight was taken."""
        reported = self.number("earlier_weight_months_ago")
        name = "earlier_weight_date"
        then = self.reader.day(self.given.get(name), f"[intake] {name}")
        if then is None:
            return reported
        if day is None:
            if self.is_reported("visit", "date"):
                return reported
            self.note(name, "E120", "needs the date of the visit",
                      "Add date to [visit], or write earlier_weight_months_ago.")  # fmt: skip
            return reported
        found = earlier_times(_array(reported), _array((day - then).days))
        if found.is_not_before[0]:
            self.note(name, "E125", "is not before the visit date", "Check both dates.")
        elif found.is_too_far[0]:
            self.note(name, "E102", f"more than {MOST_MONTHS:g} months ago", "Check the year.")
        elif found.is_apart[0]:
            what = "does not match earlier_weight_months_ago"
            self.note(name, "E125", what, "Keep one of them.")
        return _or_none(found.months)

    def pressure(self) -> tuple[float, float] | None:
        """Upper and lower blood pressure [mmHg] from ``"142/91"``, "142 over 91" or ``[142, 91]``."""
        name = "blood_pressure_mmhg"
        given = self.given.get(name)
        if given is None:
            return None
        pair = given
        if isinstance(given, str):
            pair = highest_pair(pressures_in(given)) or given.split("/")
        try:
            if not isinstance(pair, (list, tuple)) or any(
                isinstance(number, bool) for number in pair
            ):
                raise TypeError
            upper, lower = (float(number) for number in pair)
        except (TypeError, ValueError):
            self.note(name, "E101", "not two numbers", 'Write "142/91" or [142, 91].', given)
            return None
        except OverflowError:  # an integer of hundreds of digits
            upper = lower = math.inf
        if not math.isfinite(upper + lower):
            self.note(name, "E106", "not a finite number", AGAIN)
            return None
        if not (is_pressure(lower) and is_pressure(upper)):
            low, high = PRESSURES
            self.note(name, "E102", f"outside {low:g} to {high:g} mmHg", AGAIN, given)
            return None
        if are_crossed(upper, lower):
            self.note(
                name,
                "E125",
                ("the lower (diastolic) value is not below the upper (systolic)"),
                AGAIN,
                given,
            )
            return None
        return upper, lower


def _array(number: float | None) -> Array:
    """One client's number as a column."""
    return np.array([np.nan if number is None else number], dtype=float)


def _or_none(column: Array) -> float | None:
    return None if np.isnan(column[0]) else float(column[0])


def read_intake(
    reader: Reader,
    tree: Mapping[str, Any],
    *,
    weight: float | None,
    day: date | None,
) -> Intake:
    """Return the intake of a visit tree; problems go to the reader.

    ``weight`` [kg] and ``day`` are those of the visit; every item is optional.
    """
    answers = IntakeReader(reader, tree)
    given = answers.given
    earlier, months = answers.earlier_weight(weight), answers.months(day)
    has_weight = "earlier_weight_kg" in given or "weight_lost_kg" in given
    has_time = "earlier_weight_months_ago" in given or "earlier_weight_date" in given
    if (has_time or "loss_wanted" in given) and not has_weight:
        answers.note("earlier weight", "E120", "no weight given",
                 "Add earlier_weight_kg or weight_lost_kg.")  # fmt: skip
    wanted = reader.truth(given, "loss_wanted", "intake") if "loss_wanted" in given else None
    return Intake(
        words=answers.words(),
        earlier_weight_kg=earlier,
        months_ago=months,
        loss_wanted=wanted,
        surgery_months_ago=answers.number("surgery_months_ago"),
        birth_months_ago=answers.number("birth_months_ago"),
        grip_kg=answers.number("grip_kg"),
        pressure_mmhg=answers.pressure(),
        is_given=bool(answers.reported),
        answered_none=answers.answered_none(),
    )
