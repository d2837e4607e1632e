"""Make the pages of docs/ and the README's picture anew: ``python tests/house/renew_pages.py``.

Besides the three pages that the program makes: the sheet to hand out in each language, from
docs/before-you-measure.md and its translations.
"""

from __future__ import annotations

import re
from pathlib import Path

import foldspan
from foldspan.figures.style import as_image
from foldspan.pages.document import Document, Facts, Paragraph, Part, Table
from foldspan.pages.pdf_page import as_pdf
from foldspan.text.catalogue import LANGUAGES

ROOT = Path(__file__).parents[2]
# reader → example
SHOWN = {"client": "visit", "trainer": "disagreement", "clinician": "told_at_intake"}


def page(reader: str) -> foldspan.Report:
    """Return the page that docs/ shows for a reader."""
    visit = foldspan.Visit.from_file(str(ROOT / "examples" / f"{SHOWN[reader]}.toml"))
    return foldspan.report(visit, reader=reader)


def agreement() -> bytes:
    """Return the picture that README.md shows: what each method says, and the range."""
    visit = foldspan.Visit.from_file(str(ROOT / "examples" / "visit.toml"))
    picture = foldspan.report(visit, reader="trainer").picture("agreement")
    return as_image(picture.draw, ".png", picture.name, picture.alt)


def sheet_files(code: str) -> tuple[Path, Path]:
    """Return the page of docs/ with the sheet for clients in a language, and its PDF."""
    ending = "" if code == "en" else code
    docs = ROOT / "docs"
    page_name = "-".join(filter(None, ("before-you-measure", ending)))
    return docs / f"{page_name}.md", docs / f"{page_name.replace('-', '_')}.pdf"


def handout(code: str) -> bytes:
    """Return the sheet for clients as PDF: its bold words stand beside what belongs to them."""
    text = sheet_files(code)[0].read_text(encoding="utf-8")
    title, opening, *rest = (" ".join(part.split("\n")) for part in text.strip().split("\n\n"))
    facts = tuple(re.findall(r"^\*\*(.*?)\.?\*\* (.*)", "\n".join(rest), re.MULTILINE))
    choices = [
        tuple(cell.strip() for cell in line.strip("|").split("|"))
        for line in text.splitlines()
        if line.startswith("|") and "---" not in line
    ]
    parts: tuple[Part, ...] = (
        Paragraph(opening.replace("**", ""), is_lead=True),
        Facts(facts),
        Table("", choices[0], tuple(choices[1:])),
        Paragraph(rest[-1]),
    )
    return as_pdf(Document(title.removeprefix("# "), code, parts), most_sheets=1)


def renew() -> None:
    """Write the pages, the client's as a picture too, and the picture of the README."""
    import pypdfium2

    for reader in SHOWN:
        (ROOT / "docs" / f"page_{reader}.pdf").write_bytes(page(reader).pdf())
    sheet = pypdfium2.PdfDocument(ROOT / "docs" / "page_client.pdf")[0]
    sheet.render(scale=1.25).to_pil().save(ROOT / "docs" / "page_client.png", optimize=True)
    (ROOT / "docs" / "agreement.png").write_bytes(agreement())
    for code in LANGUAGES:
        sheet_files(code)[1].write_bytes(handout(code))


if __name__ == "__main__":
    renew()
