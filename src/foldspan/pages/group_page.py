"""Group page: a screened table without a word about any person."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.pages.document import Document, Heading, Paragraph, Part, Table
from foldspan.screening.group.suppress import FLOOR, SafeTable
from foldspan.text.screen import SCREENING
from foldspan.text.tables.group import (
    ALL,
    INTRO,
    LEAD,
    NOT_FOR,
    ROWS,
    TITLE,
    WITHHELD,
    header,
    heading_of,
)


def lines_of(shown: SafeTable) -> list[tuple[str, tuple[int | None, ...]]]:
    """Return the rows of a table with its totals; None for a number that is withheld."""
    names = [*(ROWS.get(row, row) for row in shown.grid.rows), ALL]
    return [
        (
            name,
            tuple(None if hides else int(count) for count, hides in zip(counts, row, strict=True)),
        )
        for name, counts, row in zip(names, shown.counts, shown.is_hidden, strict=True)
    ]


def introduction() -> list[str]:
    """Return what is said before the tables."""
    return [text.format(floor=FLOOR, withheld=WITHHELD) for text in INTRO]


def group_page(tables: Sequence[SafeTable], reference_method: str, paper: str = "a4") -> Document:
    """Return the page about tables in which what must be withheld is withheld."""
    people = int(tables[0].counts[-1, -1])
    parts: list[Part] = [
        Paragraph(LEAD.format(people=people), is_lead=True),
        *map(Paragraph, INTRO),
    ]
    for shown in tables:
        rows = tuple(
            (name, *(WITHHELD if number is None else f"{number:,}" for number in numbers))
            for name, numbers in lines_of(shown)
        )
        numeric = tuple(range(1, len(header())))
        parts.append(Heading(heading_of(shown.grid.key, reference_method)))
        parts.append(Table("", header(), rows, numeric))
    return Document(TITLE, "en", tuple(parts), small=(NOT_FOR, SCREENING), paper=paper)
