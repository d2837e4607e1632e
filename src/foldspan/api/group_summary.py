"""A summary of the group, without individuals, of a screened table: what an employer may see."""

from __future__ import annotations

import io
import json
from dataclasses import dataclass
from typing import Any

from foldspan.extras import require
from foldspan.pages.group_page import group_page, introduction, lines_of
from foldspan.pages.html_page import as_html
from foldspan.pages.pdf_page import as_pdf
from foldspan.problems import FoldspanError, Problem
from foldspan.results.result import SCHEMA_VERSION
from foldspan.screening.group.grids import FEWEST, are_enough, grids_of
from foldspan.screening.group.suppress import SafeTable, safe
from foldspan.screening.summary import Screening
from foldspan.text.tables.group import NOT_FOR, TITLE, header, heading_of

ENDINGS = (".html", ".pdf", ".xlsx", ".json")


def extra_for(path: str) -> str:
    """Return the extra that a file of this ending needs, "" for none."""
    if path.lower().endswith(".xlsx"):
        return "sheets"
    return "" if path.lower().endswith(".json") else "pages"


@dataclass(frozen=True, slots=True)
class GroupSummary:
    """Tables of people, from which nothing can be worked out about a small group."""

    tables: tuple[SafeTable, ...]
    """Tables with what is withheld, first of all by age."""
    reference_method: str
    """The reference method that fat is stated by: ``density`` or ``dxa``."""

    def content(self, path: str) -> str | bytes:
        """Return it in the form that the ending of a path names.

        Raises
        ------
        FoldspanError
            E307 for another ending than those of ``ENDINGS``.
        """
        ending = next((ending for ending in ENDINGS if path.lower().endswith(ending)), "")
        if ending == ".json":
            return json.dumps(self.to_dict(), indent=2, ensure_ascii=False)
        if ending not in ENDINGS:
            remedy = f"Give it a name that ends in {', '.join(ENDINGS)}."
            raise FoldspanError([Problem("E307", path, "unknown file extension", remedy)])
        if ending == ".html":
            return self.html()
        return self.pdf() if ending == ".pdf" else self.xlsx()

    def html(self) -> str:
        """Return it as an HTML page that stands by itself."""
        return as_html(group_page(self.tables, self.reference_method))

    def pdf(self) -> bytes:
        """Return it as a tagged PDF."""
        return as_pdf(group_page(self.tables, self.reference_method))

    def xlsx(self) -> bytes:
        """Return it as a workbook of one sheet."""
        require("sheets")
        from foldspan.tables.sheets.writer import Workbook

        out = io.BytesIO()
        with Workbook(out) as book:
            sheet = book.sheet("Summary", ("table", "row", *header()[1:]), wraps=(0,))
            for shown in self.tables:
                title = heading_of(shown.grid.key, self.reference_method)
                sheet.write(
                    (title, name, *("withheld" if number is None else number for number in numbers))
                    for name, numbers in lines_of(shown)
                )
            sheet.write((text, *[None] * len(header())) for text in (*introduction(), NOT_FOR))
            sheet.close()
        return out.getvalue()

    def to_dict(self) -> dict[str, Any]:
        """Return it as plain values; null stands for a number that is withheld."""
        return {
            "schema_version": SCHEMA_VERSION,
            "title": TITLE,
            "reference_method": self.reference_method,
            "tables": [
                {
                    "table": shown.grid.key,
                    "title": heading_of(shown.grid.key, self.reference_method),
                    "columns": list(header()[1:]),
                    "rows": {name: list(numbers) for name, numbers in lines_of(shown)},
                }
                for shown in self.tables
            ],
        }


def group_summary(screening: Screening) -> GroupSummary:
    r"""Return what may be told of a screened table without telling anything of a person.

    Parameters
    ----------
    screening : Screening
        As ``screen_table`` returns it.

    Returns
    -------
    GroupSummary
        Frozen; ``html()``, ``pdf()``, ``xlsx()``, ``to_dict()``. Numbers under five are withheld,
        with every number from which one could be worked out.

    Raises
    ------
    FoldspanError
        E120 for fewer than 20 adults of known sex.

    Examples
    --------
    >>> import foldspan, tempfile, pathlib
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> rows = [f"{sex},{30 + n},{60 + n},170" for n in range(15) for sex in ("female", "male")]
    >>> _ = (folder / "a.csv").write_text("sex,age_years,weight_kg,height_cm\n" + "\n".join(rows))
    >>> screening = foldspan.screen_table(folder / "a.csv", folder / "b.csv")
    >>> foldspan.group_summary(screening).to_dict()["tables"][0]["rows"]["all"]
    [15, 15, 30]
    """
    grids = grids_of(screening.tally.counters, screening.reference_method)
    if not are_enough(grids):
        what = f"fewer than {FEWEST} adults of known sex: a summary would describe individuals"
        remedy = "Wait for more people, or combine several days in one table."
        raise FoldspanError([Problem("E120", "--group-summary", what, remedy)])
    return GroupSummary(safe(grids), screening.reference_method)
