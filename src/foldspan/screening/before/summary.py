"""Summary: what a whole table says of the changes since the earlier one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from foldspan.screening.before.columns import VERDICTS
from foldspan.text.tables.sheets import rows_words

# from these shares of the matched rows on the tables are looked at before anything else (ours)
OTHER_PEOPLE, MOST_OF_THEM = 0.10, 0.50
# fewer rows than this are told one by one
FEW = 3
_TWICE = ("code_twice", "code_twice_before")
_UNMATCHED = ("lost", "no_code", *_TWICE, "only_now")


@dataclass(frozen=True, slots=True, repr=False)
class Matching:
    """How the codes of two tables go together."""

    table: str
    """Path of the earlier table."""
    rows: int
    """Rows of the earlier table [rows]."""
    only_before: int
    """Codes of the earlier table that the new one does not have [codes]."""
    no_code_before: int
    """Rows of the earlier table without a code [rows]."""
    twice_before: int
    """Rows of the earlier table whose code stands in it more than once [rows]."""
    twice_before_rows: tuple[int, ...]
    """The first of them [row numbers]."""
    twice_now_rows: tuple[int, ...]
    """First rows of the new table whose code stands in it more than once [row numbers]."""
    nearly: int
    """Codes that would match but for capitals, spaces, dashes or leading zeros [codes]."""
    read: tuple[str, ...] = ()
    """Columns of the earlier table that were read, each with the name used here."""
    unused: tuple[str, ...] = ()
    """Columns of the earlier table whose names are not known."""


@dataclass(frozen=True, slots=True, repr=False)
class ChangeSummary:
    """How many changed beyond chance, which way, and why others are not compared."""

    matching: Matching
    """How the codes of the two tables go together."""
    counts: Counter[str]
    """Counts over the rows."""

    def _of(self, kind: str) -> dict[str, int]:
        return {word: self.counts[f"{kind}|{word}"] for word in VERDICTS[1:]}

    @property
    def fat(self) -> dict[str, int]:
        """Verdict on the change in body fat → number of rows."""
        return self._of("fat")

    @property
    def weight(self) -> dict[str, int]:
        """Verdict on the change in weight → number of rows."""
        return {word: rows for word, rows in self._of("weight").items() if word != "too_soon"}

    @property
    def compared(self) -> int:
        """Rows with a change in body fat."""
        return sum(self.fat.values())

    @property
    def not_compared(self) -> dict[tuple[str, str], int]:
        """Why there is no change, with why there is no range → number of rows, most common first."""
        found = {
            (key.split("|")[1], key.split("|")[2]): rows
            for key, rows in self.counts.items()
            if key.startswith("not|")
        }
        return dict(sorted(found.items(), key=lambda item: (-item[1], item[0])))

    @property
    def by_code(self) -> dict[str, int]:
        """Why there is no change → number of rows, most common first."""
        found: Counter[str] = Counter()
        for (code, _), rows in self.not_compared.items():
            found[code] += rows
        return dict(sorted(found.items(), key=lambda item: (-item[1], item[0])))

    @property
    def matched(self) -> int:
        """Rows whose code is in the earlier table, once in each."""
        others = sum(rows for code, rows in self.by_code.items() if code not in _UNMATCHED)
        return self.compared + others

    @property
    def flagged(self) -> int:
        """Rows with a flag that they have only because of a loss since the earlier table."""
        return self.counts["flagged"]

    @property
    def undated(self) -> int:
        """Rows with a loss of weight that no two dates go with."""
        return self.counts["note|loss_undated"]

    @property
    def notes(self) -> dict[str, int]:
        """What affects a comparison → number of rows, most common first."""
        found = {
            key.partition("|")[2]: rows
            for key, rows in self.counts.items()
            if key.startswith("note|")
        }
        return dict(sorted(found.items(), key=lambda item: (-item[1], item[0])))

    @property
    def look_first(self) -> tuple[str, ...]:
        """What to check before any change is used."""
        from foldspan.text.tables import before as said

        by_code = self.by_code
        people = sum(by_code.get(code, 0) for code in said.OF_TWO_PEOPLE)
        found = []
        if not self.matched and not self.matching.nearly and not by_code.keys() & {*_TWICE}:
            found.append(said.CHECKS["nobody"])
        for key, rows, share in (
            ("swapped", by_code.get("dated_earlier", 0), MOST_OF_THEM),
            ("people", people, OTHER_PEOPLE),
            ("units", by_code.get("weight_unit", 0), OTHER_PEOPLE),
        ):
            if rows >= max(FEW, share * self.matched):
                found.append(said.CHECKS[key].format(rows=rows_words(rows)))
        return tuple(found)

    @property
    def checks(self) -> tuple[str, ...]:
        """What is unusual about the codes."""
        from foldspan.text.tables import before as said

        matching = self.matching
        found = []
        if matching.nearly:
            found.append(said.CHECKS["nearly"].format(codes=said.codes_words(matching.nearly)))
        for key, rows, count in (
            ("twice", matching.twice_now_rows, self.by_code.get("code_twice", 0)),
            ("twice_before", matching.twice_before_rows, matching.twice_before),
        ):
            if rows:
                more = ", …" if count > len(rows) else ""
                named = ", ".join(f"{row:,}" for row in rows)
                found.append(said.CHECKS[key].format(rows=f"{named}{more}"))
        return tuple(found)

    def lines(self, rows: int) -> Iterator[tuple[str, str, int, int]]:
        """Yield it for a page about so many rows: title, words, number, and of how many."""
        from foldspan.text.tables import before as said

        matching, by_code = self.matching, self.by_code
        title = said.TITLES["matched"].format(table=matching.table, rows=rows_words(matching.rows))
        for key, number, of in (
            ("matched", self.matched, rows),
            ("only_now", by_code.get("only_now", 0), rows),
            ("flagged", self.flagged, rows),
            ("undated", self.undated, rows),
            ("only_before", matching.only_before, matching.rows),
            ("no_code_before", matching.no_code_before, matching.rows),
        ):
            if number or key in ("matched", "only_now", "only_before"):
                yield title, said.SUMMARY[key], number, of
        for kind, verdicts in (("fat", self.fat), ("weight", self.weight)):
            for word, number in verdicts.items():
                if number or word != "too_soon":
                    yield (
                        said.TITLES[kind],
                        said.VERDICT_WORDS[word],
                        number,
                        sum(verdicts.values()),
                    )
        for (code, reason), number in self.not_compared.items():
            if code != "only_now":
                yield said.TITLES["not"], said.why_not_compared(code, reason), number, rows

    def to_dict(self) -> dict[str, Any]:
        """Return it as plain values."""
        matching = self.matching
        return {
            "rows_before": matching.rows,
            "matched": self.matched,
            "only_now": self.by_code.get("only_now", 0),
            "only_before": matching.only_before,
            "compared": self.compared,
            "fat_percent": self.fat,
            "weight": self.weight,
            "not_compared": self.by_code,
            "no_range": {
                code: {
                    reason: rows
                    for (kind, reason), rows in self.not_compared.items()
                    if kind == code
                }
                for code in ("no_range", "no_range_before")
            },
            "notes": self.notes,
            "flagged_by_loss": self.flagged,
            "loss_undated": self.undated,
            "nearly_matched": matching.nearly,
            "no_code_before": matching.no_code_before,
            "code_twice_before": matching.twice_before,
        }
