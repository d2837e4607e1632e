"""Problems: every fault and warning has a code, a place, a meaning and a remedy.

The numbers a person was measured at are health data. ``Problem.given`` holds what was typed so
that a terminal can show it back to the person who typed it; it never appears in ``repr``, in
``str`` of an exception, and so never in a traceback or a log of one.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field

CODES: dict[str, str] = {
    "E101": "not a number",
    "E102": "impossible value",
    "E103": "very unusual value: please confirm",
    "E104": "unknown unit",
    "E105": "wrong kind of unit",
    "E106": "not a finite number",
    "E107": "zero or negative",
    "E108": "ambiguous comma",
    "E109": "more than three readings",
    "E110": "no reading given",
    "E111": "sex missing",
    "E112": "age missing",
    "E113": "not an allowed word",
    "E114": "the name fits several sites",
    "E115": "unknown name",
    "E116": "date in the future",
    "E117": "not a date",
    "E118": "birth date after the visit",
    "E119": "age and birth date disagree",
    "E120": "nothing was measured, or not enough information",
    "E121": "a section or value has the wrong form",
    "E122": "the same quantity is given twice",
    "E123": "values do not match: please confirm",
    "E124": "readings of one site too far apart: please confirm",
    "E125": "a self-reported answer contradicts another answer or the visit",
    "E126": "visits are not of one client, or not in date order",
    "E127": "urgent finding: act before the rest is corrected",
    "E201": "under 18: no adult range",
    "E202": "pregnant: no range",
    "E203": "no suitable equation for the measurements",
    "E204": "within six months of a birth: no range",
    "E205": "limb, or part of one, missing: no range",
    "E206": "oedema, fluid in the abdomen or dialysis: no range",
    "E207": "both sets of equations chosen: two results, no single range",
    "E301": "file not found",
    "E302": "not a file",
    "E303": "file cannot be read or written",
    "E304": "not UTF-8 text",
    "E305": "syntax error",
    "E306": "file is empty",
    "E307": "unknown file extension",
    "E308": "a file with that name exists, or is an input",
    "E309": "a part of foldspan that is not installed",
    "E401": "column missing",
    "E402": "column name is close to one that flags or refusals depend on",
    "E403": "column given twice",
    "E404": "not a table",
    "E405": "too few people with a reference value",
    "E409": "a measurement without its unit",
    "E410": "a row with more or fewer cells than columns",
    "E411": "a row with an ambiguous quotation mark",
    "E412": "a word in a column that could mean two things",
    "E501": "unknown option value, or an option given twice",
    "E502": "the error covariance is not positive definite",
    "E601": "local correction or own errors cannot be used",
    "E602": "local correction would make the ranges worse",
    "E701": "not a record book",
    "E702": "the record book is damaged",
    "E703": "the book was written by a newer version",
    "E704": "the book cannot be read or written",
    "E705": "the book is in use by another session",
    "E706": "no such client or visit in the book",
    "E707": "not a records export that can be imported",
    "E801": "nothing to draw",
    "E802": "the client did not agree to share results",
    "E901": "foldspan serve: a request that is not allowed",
    "E902": "foldspan serve: no such address, or not for this method",
    "E903": "foldspan serve: too much was sent, or it cannot be read",
    "E904": "foldspan serve: a request failed",
    "W103": "very unusual value, used as entered",
    "W123": "values do not match, used as entered",
    "W124": "readings of one site too far apart, used as entered",
    "W125": "two measurements rarely found in the same person, used as entered",
    "W126": "family background not used by any published limit: kept, but not used",
    "W127": "unusual with the equations for men: used as entered",
    "W128": "could mean corticosteroids or anabolic drugs: read as corticosteroid tablets",
    "W304": "bytes that are not UTF-8, read as Windows-1252",
    "W402": "column not used (unknown name)",
    "W406": "all people of one sex",
    "W407": "rows given twice",
    "W408": "a column has only one value",
    "W409": "rows evaluated without the local correction",
}
"""Code → meaning. The page docs/problem-codes.md lists the same codes with their remedies."""


WRITE_A_DAY = "Write year, month, day: 2026-03-04 is 4 March 2026."
"""What to do about a date that cannot be read; 04/03/2026 means different days in different
countries."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One error or warning.

    Parameters
    ----------
    code : str
        Key of ``CODES``; ``E…`` is an error, ``W…`` a warning.
    where : str
        File, section and name, or table row and column.
    what : str
        What is wrong, without the value typed.
    remedy : str
        How to correct it; ``{given}`` marks where the value typed may be repeated on a terminal,
        ``{number}`` where only its number may be.
    given : str
        The value as typed; shown on a terminal only.
    """

    code: str
    where: str
    what: str
    remedy: str
    given: str = field(default="", repr=False)

    def __post_init__(self) -> None:
        """Refuse a code that no page explains."""
        if self.code not in CODES:
            raise KeyError(self.code)

    @property
    def is_error(self) -> bool:
        """Whether it stops processing."""
        return self.code.startswith("E")

    def sentence(self, *, show_given: bool = False) -> str:
        """Return one or two sentences for the user, ending with the code.

        The value typed is included only with ``show_given``.
        """
        given = self.given if show_given else ""
        what = f"{self.what} (you entered: {given})" if given else self.what
        return f"{self.where}: {what}. {self.advice(given)} [{self.code}]"

    def advice(self, given: str = "") -> str:
        """Return the remedy; what was typed is included only if it is passed in."""
        number = re.match(r"[-+]?[\d.,]+(?:\s+\d+/\d+)?", given.strip())
        remedy = self.remedy.replace("{given}", given or "…")
        return remedy.replace("{number}", "…" if number is None else number.group())


class FoldspanError(Exception):
    """Input that cannot be used; it carries every problem found, not only the first.

    Parameters
    ----------
    problems : iterable of Problem
        At least one.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(problem.sentence() for problem in self.problems))

    def __reduce__(self) -> tuple[type[FoldspanError], tuple[tuple[Problem, ...]]]:
        """Be sent between processes with the problems, not with their words alone."""
        return type(self), (self.problems,)
