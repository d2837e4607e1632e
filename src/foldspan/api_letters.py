"""Letters: one letter to a clinician for each row that is referred, as PDF."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from typing import Any

from foldspan.api_report import report
from foldspan.problems import FoldspanError, Problem
from foldspan.screen_doors import make_folder
from foldspan.screen_gather import SHOWN
from foldspan.screen_run import LetterWriter
from foldspan.visit import Visit


class Letters:
    """Writes letters into a folder, each readable by its owner only; counts what became of them.

    ``failed`` rows told too little for a page, and ``without_referral`` are letters of visits that, read
    with all they hold, refer no longer: a strong build, seen by its limbs.

    Raises
    ------
    FoldspanError
        E303 where the folder cannot be made, E308 where it holds files already and ``replace`` is not
        set.
    """

    def __init__(self, folder: str, settings: dict[str, Any], *, replace: bool = False) -> None:
        self.folder, self.settings, self.replace = folder, settings, replace
        self.written, self.failed, self.without_referral = 0, 0, 0
        self.failed_rows: list[str] = []
        make_folder(folder)
        if os.listdir(folder) and not replace:
            remedy = "Name a new folder, or say --force."
            raise FoldspanError([Problem("E308", folder, "holds files already", remedy)])

    def write(self, trees: Sequence[tuple[int, dict[str, Any]]], base: int, part: str) -> None:
        """Write the letters of some rows, counted from ``base``."""
        for row, tree in trees:
            number, code = base + row + 1, str(tree["client"].get("code", ""))
            parts = (_plain(part), f"row{number:06d}", _plain(code))
            name = "_".join(one for one in parts if one)
            if not self._one(tree, os.path.join(self.folder, f"{name}.pdf")):
                self.failed += 1
                if len(self.failed_rows) < SHOWN:
                    who = f" ({code})" if code else ""
                    self.failed_rows.append(f"{part} row {number}{who}".strip())

    def for_a_part(self) -> Letters:
        """Return a writer into the same folder that counts by itself; it may be tried again."""
        return Letters(self.folder, self.settings, replace=True)

    def count(self, part: LetterWriter) -> None:
        """Add the counts of a part."""
        self.written += part.written
        self.failed += part.failed
        self.without_referral += part.without_referral
        self.failed_rows += part.failed_rows[: SHOWN - len(self.failed_rows)]

    def _one(self, tree: dict[str, Any], path: str) -> bool:
        """Write one letter; False for a row that tells too little for a page. It stands in the list."""
        try:
            visit = Visit.from_dict(tree, accept_unusual=True)
        except FoldspanError:
            return False
        page = report(visit, reader="clinician", **self.settings)
        flags = page.material.flags
        if not any(one.level.startswith("refer") for one in flags):
            # a strong build is the one reason why a letter may say less than the list
            if not any(one.code == "strong_build" for one in flags):
                return False
            self.without_referral += 1
        page.write(path, replace=self.replace)
        self.written += 1
        return True


def _plain(text: str) -> str:
    """A text as part of a file's name."""
    return re.sub(r"[^A-Za-z0-9-]+", "_", text)[:60]
