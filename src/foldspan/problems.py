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
    "E101": "not a number, nor a number with a unit",
    "E102": "value outside what is possible",
    "E103": "value possible but very unusual: asked back",
    "E104": "unit not known",
    "E105": "unit measures something else",
    "E106": "not a finite number",
    "E107": "zero or negative",
    "E108": "comma with two meanings",
    "E109": "more than three readings",
    "E110": "no reading given",
    "E111": "sex missing",
    "E112": "age missing",
    "E113": "not one of the allowed words",
    "E114": "one name for several sites",
    "E115": "name not known",
    "E116": "date in the future",
    "E117": "not a date",
    "E118": "birth date after the visit",
    "E119": "age and birth date disagree",
    "E120": "nothing was measured, or too little given",
    "E121": "a section or value has the wrong shape",
    "E122": "the same quantity is given twice",
    "E123": "values do not fit together: asked back",
    "E124": "readings of one site too far apart: asked back",
    "E125": "what was told contradicts itself or the visit",
    "E126": "visits are not of one client, or not in order",
    "E127": "told or measured, and cannot wait until the rest is put right",
    "E201": "under 18: no adult range",
    "E202": "pregnant: no range",
    "E203": "no usable equation for what was measured",
    "E204": "within six months after a birth: no range",
    "E205": "a limb, or part of one, is missing: no range",
    "E206": "fluid in the tissues or dialysis: no range",
    "E207": "which equations fit is left open: two answers, no single range",
    "E301": "file not found",
    "E302": "not a file",
    "E303": "file cannot be read or written",
    "E304": "not UTF-8 text",
    "E305": "syntax error",
    "E306": "file is empty",
    "E307": "file ending not known",
    "E308": "a file of that name is there already, or is read",
    "E401": "column missing",
    "E402": "column name close to something that flags or refusals rest on",
    "E403": "column given twice",
    "E404": "not a table",
    "E405": "too few people with a reference",
    "E409": "a measurement without its unit",
    "E410": "a row with more or fewer cells than columns",
    "E411": "a row whose quotation marks can be read in two ways",
    "E412": "a word of a column that may mean two things",
    "E501": "option value not known, or an option given twice",
    "E502": "correlation of the errors is not positive definite",
    "E601": "local correction or own errors cannot be used",
    "E602": "local correction would make the ranges worse",
    "E701": "not a book of records",
    "E702": "the book of records is damaged",
    "E703": "the book was written by a newer version",
    "E704": "the book cannot be read or written",
    "E705": "the book is held by another session",
    "E706": "no such client or visit in the book",
    "E707": "not an export of records that can be taken in",
    "E801": "nothing to draw",
    "E802": "the client did not agree to share results",
    "W103": "very unusual value, used as given",
    "W123": "values do not fit together, used as given",
    "W124": "readings of one site too far apart, used as given",
    "W125": "two measurements that are rarely seen together in one body, used as given",
    "W126": "family background that no published limit goes by: kept, and not used",
    "W127": "told, and rarely goes with the equations for men: counts as told",
    "W128": "may mean cortisone or anabolic drugs: read as cortisone tablets",
    "W304": "bytes that are not UTF-8, read as Windows-1252",
    "W402": "column not used, its name is not known",
    "W406": "all people of one sex",
    "W407": "rows given twice",
    "W408": "a column holds one value only",
    "W409": "rows judged without the local correction that was given",
}
"""Code → meaning. The page docs/problem-codes.md lists the same codes with their remedies."""


WRITE_A_DAY = "Write year, month, day: 2026-03-04 is 4 March 2026."
"""What to do about a date that cannot be read; 04/03/2026 would be another day in another country."""


@dataclass(frozen=True, slots=True)
class Problem:
    """One fault or warning.

    Parameters
    ----------
    code : str
        Key of ``CODES``; ``E…`` stops, ``W…`` warns.
    where : str
        File, section and name, or table row and column.
    what : str
        What is wrong, without the value typed.
    remedy : str
        How to mend it; ``{given}`` stands where the value typed may be repeated on a terminal, and
        ``{number}`` where its number alone may be.
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
        """Whether it stops the work."""
        return self.code.startswith("E")

    def sentence(self, *, show_given: bool = False) -> str:
        """Return one or two sentences for a person, ending in the code.

        The value typed is part of it only with ``show_given``.
        """
        given = self.given if show_given else ""
        what = f"{self.what} (given: {given})" if given else self.what
        return f"{self.where}: {what}. {self.advice(given)} [{self.code}]"

    def advice(self, given: str = "") -> str:
        """Return the remedy; what was typed is part of it only where it is given."""
        number = re.match(r"[-+]?[\d.,]+(?:\s+\d+/\d+)?", given.strip())
        remedy = self.remedy.replace("{given}", given or "…")
        return remedy.replace("{number}", "…" if number is None else number.group())


class FoldspanError(Exception):
    """Input that cannot be used; carries every problem found, not only the first.

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
