"""Letters: one letter to a clinician for each row that is referred, as PDF."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from typing import Any

from foldspan.api_report import report
from foldspan.problems import FoldspanError, Problem
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
        try:
            os.makedirs(folder, mode=0o700, exist_ok=True)
            is_empty = not os.listdir(folder)
        except OSError:
            remedy = "Name a folder that can be made."
            raise FoldspanError(
                [Problem("E303", folder, "the folder cannot be made", remedy)]
            ) from None
        if not (is_empty or replace):
            remedy = "Name a new folder, or say --force."
            raise FoldspanError([Problem("E308", folder, "holds files already", remedy)])

    def write(self, trees: Sequence[tuple[int, dict[str, Any]]], base: int, part: str) -> None:
        """Write the letters of some rows, counted from ``base``."""
        for row, tree in trees:
            code = str(tree["client"].get("code", ""))
            plain = re.sub(r"[^A-Za-z0-9-]+", "_", code)[:40]
            stem = re.sub(r"[^A-Za-z0-9-]+", "_", part)[:60]
            name = "_".join(one for one in (stem, f"row{base + row + 1}", plain) if one)
            self._one(tree, os.path.join(self.folder, f"{name}.pdf"))

    def _one(self, tree: dict[str, Any], path: str) -> None:
        try:
            visit = Visit.from_dict(tree, accept_unusual=True)
        except FoldspanError:  # a row that tells too little for a page; it stands in the list
            self.failed += 1
            return
        page = report(visit, reader="clinician", **self.settings)
        page.write(path, replace=self.replace)
        self.written += 1
        if not any(one.level.startswith("refer") for one in page.material.flags):
            self.without_referral += 1
