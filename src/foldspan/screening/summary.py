"""Summary: the frozen summary of a screened table, and its JSON."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import Any

from foldspan.explanation.correction_used import LocalUsed, local_tree
from foldspan.measurement.plausibility import UNIT_PLURAL
from foldspan.quantities import SEXES
from foldspan.results.result import SCHEMA_VERSION
from foldspan.screening.before.summary import ChangeSummary, Matching
from foldspan.screening.collect import Referred
from foldspan.screening.counts import Tally
from foldspan.screening.letters import MIXED_ROWS, WHOLE_COLUMN
from foldspan.screening.notes import ScreeningNote
from foldspan.standards.referral_rules import LEVELS, RULE_BY_CODE
from foldspan.tables.answers import VERDICTS
from foldspan.tables.bands import standards_for
from foldspan.text.screen import (
    LOST_ROWS,
    MATTER,
    NO_SIZE,
    NOT_ASKED,
    NOT_ASKED_OF,
    NOTES,
    QUALITY_WORDS,
    UNIT_FIRST,
    WHY_NO_RANGE,
)
from foldspan.text.tables.sheets import rows_words

# from this share of the rows on a column is told to hold another unit in some (ours)
MIXED_SHARE = 0.005
# round numbers: so many readings of one tester and kind, and such a share on whole fives (ours)
FEWEST_READINGS, ROUND_SHARE = 30, 0.40
WEIGHT_AND_HEIGHT = "weight_kg, height_cm"


@dataclass(frozen=True, slots=True)
class Share:
    """One band: how many people are expected in it by their chances, and their share of those known."""

    people: float
    """Expected number of people in the band (the sum of their probabilities)."""
    share: float
    """Share of those with a known value [0 to 1]."""


@dataclass(frozen=True, slots=True, repr=False)
class Screening:
    """The summary of a table: counts, bands, flags, data quality, and the most urgent referrals."""

    reference_method: str
    """The reference method that fat is stated by: ``density`` or ``dxa``."""
    tally: Tally
    """Every count over the rows."""
    referred: int
    """Number of rows with a flag that calls for a referral."""
    first_referred: tuple[Referred, ...] = ()
    """The most urgent of them."""
    repeated_rows: tuple[int, ...] = ()
    """First rows that repeat an earlier one [row numbers]."""
    given_names: tuple[tuple[str, str], ...] = ()
    """Column names in the table, each with the name used here."""
    unread_rows: tuple[int, ...] = ()
    """First rows with an entry that matters for referral and could not be read [row numbers]."""
    problem_rows: tuple[tuple[int, str, str], ...] = ()
    """First rows with a problem, as many as were asked for [row number, code, what is wrong]."""
    unused: tuple[str, ...] = ()
    """Columns whose names are not known."""
    passed_through: tuple[str, ...] = ()
    """Columns ignored on request."""
    coded_notes: tuple[ScreeningNote, ...] = ()
    """How the table was read and what happened to the letters, as codes with their parameters."""
    unreadable_parts: tuple[str, ...] = ()
    """Parts of a folder that could not be read."""
    local: LocalUsed | None = None
    """The local correction that was asked for, None without one."""
    as_printed: bool = False
    """Whether equations were used as published."""
    matching: Matching | None = None
    """How the codes of an earlier table go with these, None without one."""

    @property
    def change(self) -> ChangeSummary | None:
        """What changed since the earlier table, None without one."""
        if self.matching is None:
            return None
        return ChangeSummary(self.matching, self._count("changes"))

    @property
    def notes(self) -> tuple[str, ...]:
        """Sentences on how the table was read."""
        return tuple(note.text for note in self.coded_notes)

    @property
    def rows(self) -> int:
        """Rows read."""
        return self.tally.rows

    @property
    def with_range(self) -> int:
        """Rows with a range."""
        return self.tally.with_range

    def _count(self, name: str) -> Counter[str]:
        return self.tally.counters[name]

    @property
    def without_range(self) -> dict[str, int]:
        """Reason → number of rows, most common first."""
        counts = self._count("without_range")
        return {key: rows for key, rows in _falling(counts) if key in WHY_NO_RANGE}

    @property
    def verdicts(self) -> dict[str, int]:
        """Verdict → number of rows."""
        return {word: self._count("verdicts")[word] for word in VERDICTS[1:]}

    @property
    def levels(self) -> dict[str, int]:
        """Most urgent level of a row → number of rows, most urgent first."""
        return {level: self._count("levels")[level] for level in (*reversed(LEVELS), "none")}

    @property
    def flags(self) -> dict[str, dict[str, int]]:
        """Level → flag → number of rows; most urgent level and most common flag first."""
        counts = self._count("flags")
        return {
            level: {
                code: rows for code, rows in _falling(counts) if RULE_BY_CODE[code].level == level
            }
            for level in reversed(LEVELS)
        }

    @property
    def problems(self) -> dict[str, int]:
        """Problem code with its column → number of rows, most common first."""
        return dict(_falling(self._count("problems")))

    @property
    def unread(self) -> tuple[int, dict[str, int]]:
        """Rows with an unreadable entry that matters for referral, and which; see ``MATTER``."""
        kinds = {
            key: rows
            for key, rows in _falling(self._count("problems"))
            if key in LOST_ROWS or (key.startswith("E") and key.partition(" ")[2] in MATTER)
        }
        if size := self._count("unread")["size"]:
            kinds[NO_SIZE] = size
        return self._count("unread")["rows"], kinds

    @property
    def not_asked(self) -> dict[str, int]:
        """Topic that referral rules rest on → number of rows that say nothing about it."""
        counts = self._count("not_asked")
        return {topic: counts[topic] for topic in NOT_ASKED if counts[topic]}

    @property
    def not_asked_sentence(self) -> str:
        """What nobody can be referred for, as it was not asked; "" where everything was."""
        parts = [
            NOT_ASKED[topic].format(rows="all rows" if rows >= self.rows else rows_words(rows))
            for topic, rows in self.not_asked.items()
        ]
        return NOT_ASKED_OF.format(topics="; ".join(parts)) if parts else ""

    @property
    def bands(self) -> dict[str, dict[str, dict[str, Share]]]:
        """Measure → sex → band → expected number of people and their share."""
        chances, known = self._count("bands"), self._count("banded")
        found: dict[str, dict[str, dict[str, Share]]] = {}
        for measure, standards in standards_for(
            "dxa" if self.reference_method == "dxa" else "density"
        ).items():
            labels = standards[0].labels
            for sex in SEXES:
                people = known[f"{measure}|{sex}"]
                if people:
                    found.setdefault(measure, {})[sex] = {
                        label: _share(chances[f"{measure}|{sex}|{label}"], people)
                        for label in labels
                    }
        return found

    @property
    def look_first(self) -> tuple[str, ...]:
        """What to correct before the rest can be used: units of columns, codes of other people."""
        units = tuple(words for words, is_whole in self._units() if is_whole)
        return units if self.change is None else (*units, *self.change.look_first)

    @property
    def held_back(self) -> str:
        """What to know about letters that were not written, "" if there are none."""
        held = self._count("letters")["held"]
        return NOTES["held"].format(rows=rows_words(held)) if held else ""

    @property
    def unit_first(self) -> str:
        """How many are referred only for a weight in a doubtful unit, in words; "" for nobody."""
        rows = self._count("letters")["unit_first"]
        return UNIT_FIRST.format(rows=rows_words(rows)) if rows else ""

    @property
    def quality(self) -> tuple[str, ...]:
        """What is unusual in the data, in words."""
        units = [words for words, _ in self._units()]
        return (*units, *self._round_numbers(), *self._contradictions())

    def _units(self) -> list[tuple[str, bool]]:
        """What is to be said of units, and whether it is said of a whole column."""
        new_names = dict(self.given_names)
        alike: dict[tuple[str, str], Counter[str]] = {}
        for key, rows in sorted(self._count("looks_like").items()):
            name, unit, code = key.split("|")
            alike.setdefault((name, unit), Counter())[code] += rows
        found: list[tuple[str, bool]] = []
        for (pair, unit), codes in alike.items():
            name = "weight_kg" if pair == WEIGHT_AND_HEIGHT else pair
            given = self._count("given")[name]
            words: dict[str, Any] = {"unit": UNIT_PLURAL[unit], "short": unit, "column": name}
            words |= {
                "given": new_names.get(name, name),
                "share": sum(codes.values()) / max(given, 1),
            }
            # of an unusual value alone it is a guess
            sure = sum(codes.values()) if codes["E102"] else codes["W123"]
            words["rows"] = rows_words(sure)
            fewest = 1 if codes["E102"] else MIXED_ROWS
            is_weight = pair == WEIGHT_AND_HEIGHT
            whole = words["share"] >= WHOLE_COLUMN
            if is_weight:
                whole &= sum(codes.values()) >= MIXED_ROWS
            if not whole and codes["E102"] + codes["W123"] < max(fewest, MIXED_SHARE * self.rows):
                continue
            kinds = ("weight_unit", "weight_column") if is_weight else ("mixed", "unit")
            found.append((QUALITY_WORDS[kinds[whole]].format(**words), whole))
        return found

    def _round_numbers(self) -> list[str]:
        readings, fives = self._count("readings"), self._count("fives")
        found = []
        for key in sorted(readings):
            kind, tester = key.split("|", 1)
            share = fives[key] / readings[key]
            if readings[key] >= FEWEST_READINGS and share >= ROUND_SHARE:
                words = {"tester": tester, "kind": kind, "rows": readings[key], "share": share}
                found.append(QUALITY_WORDS["round"].format(**words))
        return found

    def _contradictions(self) -> list[str]:
        problems = self._count("problems")
        missing_sex = sum(rows for code, rows in problems.items() if code.startswith("E125"))
        counts = {
            "impossible": problems[f"E102 {WEIGHT_AND_HEIGHT}"],
            "odd": problems[f"W123 {WEIGHT_AND_HEIGHT}"],
            "told": missing_sex,
            "twice": self._count("repeats")["rows"],
            "ragged": problems["E410"],
            "quotes": problems["E411"],
            "recoded": problems["W304"],
        }
        rows = ", ".join(f"{row:,}" for row in self.repeated_rows)
        first = f" (rows {rows}{', …' if counts['twice'] > len(self.repeated_rows) else ''})"
        return [
            QUALITY_WORDS[key].format(
                rows=rows_words(number), which=first if self.repeated_rows else ""
            )
            for key, number in counts.items()
            if number
        ]

    def to_dict(self) -> dict[str, Any]:
        """Return the summary as plain values, schema version 2."""
        return {
            "schema_version": SCHEMA_VERSION,
            "reference_method": self.reference_method,
            "local_correction": local_tree(self.local),
            "as_printed": self.as_printed,
            "rows": self.rows,
            "look_first": list(self.look_first),
            "with_range": self.with_range,
            "without_range": {WHY_NO_RANGE[key]: rows for key, rows in self.without_range.items()},
            "verdicts": self.verdicts,
            "bands": {
                measure: {
                    sex: {
                        label: {"people": round(share.people, 2), "share": round(share.share, 4)}
                        for label, share in labels.items()
                    }
                    for sex, labels in sexes.items()
                }
                for measure, sexes in self.bands.items()
            },
            "levels": self.levels,
            "flags": self.flags,
            "referred": self.referred,
            "not_read_in_full": self.unread[0],
            "not_asked": self.not_asked,
            "unit_to_confirm": self._count("letters")["unit_first"],
            **({} if self.change is None else {"change": self.change.to_dict()}),
            "problems": self.problems,
            "quality": list(self.quality),
            "columns": {given: name for name, given in self.given_names},
            "not_used": list(self.unused),
            "passed_through": list(self.passed_through),
            "notes": list(self.notes),
            "unreadable_parts": list(self.unreadable_parts),
        }


def _share(chances: int, people: int) -> Share:
    return Share(chances / 1e4, chances / 1e4 / people)


def _falling(counts: Counter[str]) -> list[tuple[str, int]]:
    return sorted(counts.items(), key=lambda item: (-item[1], item[0]))
