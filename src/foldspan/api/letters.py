"""Letters: one letter to a clinician for each row that is referred, as PDF."""

from __future__ import annotations

import os
from collections.abc import Sequence
from contextlib import suppress
from typing import Any

from foldspan.api.report import report
from foldspan.export.report import Report
from foldspan.files.output import name_part, write_private
from foldspan.pages.inputs import paper_of
from foldspan.pages.pdf_page import as_pdf
from foldspan.pages.row_letter import row_letter
from foldspan.practice.model import Practice
from foldspan.problems import FoldspanError, Problem
from foldspan.results.flag_grounds import LOST_SINCE
from foldspan.screening.letters import SELF_REPORTED_RULES, LetterFor
from foldspan.screening.run.single import LetterWriter
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.tables.paths import make_folder
from foldspan.visit.model import Visit


class Letters:
    """Writes letters into a folder, each readable by its owner only; counts what became of them.

    Where no visit can be made of a row, or it would say less than the row told, the letter is made of
    the row itself. ``without_referral`` are letters of visits that, read with all they hold, refer no
    longer: a strong build, seen by its limbs.

    Raises
    ------
    FoldspanError
        E303 where the folder cannot be made, E308 where it holds files already and ``replace`` is not
        set.
    """

    def __init__(
        self,
        folder: str,
        settings: dict[str, Any],
        *,
        practice: Practice | None = None,
        replace: bool = False,
    ) -> None:
        self.folder, self.settings, self.replace = folder, settings, replace
        self.practice = practice
        self.written, self.without_referral = 0, 0
        make_folder(folder)
        if os.listdir(folder) and not replace:
            remedy = "Choose a new folder, or add --force."
            raise FoldspanError([Problem("E308", folder, "already contains files", remedy)])

    def write(self, letters: Sequence[LetterFor], base: int, part: str) -> None:
        """Write the letters of some rows, counted from ``base``."""
        for letter in letters:
            number, code = base + letter.row + 1, letter.client.code
            parts = (name_part(part), f"row{number:06d}", name_part(code))
            name = "_".join(part for part in parts if part)
            self._write_letter(letter, os.path.join(self.folder, f"{name}.pdf"))

    def for_a_part(self) -> Letters:
        """Return a writer into the same folder that counts by itself; it may be tried again."""
        return Letters(self.folder, self.settings, practice=self.practice, replace=True)

    def count(self, part: LetterWriter) -> None:
        """Add the counts of a part."""
        self.written += part.written
        self.without_referral += part.without_referral

    def _write_letter(self, letter: LetterFor, path: str) -> None:
        """Write one letter."""
        page = self._page(letter)
        if page is None:
            document = row_letter(letter, self.practice, paper_of("", self.practice, "metric"))
            write_private(path, as_pdf(document, is_letter=True), replace=self.replace)
        else:
            page.write(path, replace=self.replace)
        self.written += 1

    def _page(self, letter: LetterFor) -> Report | None:
        """The letter of the visit that a row makes; None where there is none, or it says less."""
        try:
            visit = Visit.from_row(letter.client)
        except FoldspanError:
            return None
        page = self._report(visit, letter)
        if page.material.result.has_range and not letter.has_range:
            return None  # withheld from the row, for something that a visit of it would not know
        levels = {flag.code: flag.level for flag in page.material.flags}
        # what was told, and what cannot wait, a weight that is not used among it
        if {
            code for code in letter.flags if code in SELF_REPORTED_RULES or _cannot_wait(code)
        } - set(levels):
            return None
        if letter.earlier is not None and {*letter.flags} & {*LOST_SINCE} - set(levels):
            return None  # what was lost since the earlier table
        if not any(level.startswith("refer") for level in levels.values()):
            # a strong build is the one reason why a letter may say less than the list
            if "strong_build" not in levels:
                return None
            self.without_referral += 1
        return page

    def _report(self, visit: Visit, letter: LetterFor) -> Report:
        """The letter of a visit, with that of the earlier table where both can be of one client."""
        how: dict[str, Any] = {"reader": "clinician", "practice": self.practice, **self.settings}
        if letter.earlier is not None:
            with suppress(FoldspanError):
                return report(Visit.from_row(letter.earlier), visit, **how)
        return report(visit, **how)


def _cannot_wait(code: str) -> bool:
    return RULE_BY_CODE[code].level == "refer_urgently"
