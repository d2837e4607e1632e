"""Make the three pages of docs/ anew: ``python tests/house/renew_pages.py``."""

from __future__ import annotations

from pathlib import Path

import foldspan

ROOT = Path(__file__).parents[2]
# reader → example
SHOWN = {"client": "visit", "trainer": "disagreement", "clinician": "told_at_intake"}


def page(reader: str) -> foldspan.Report:
    """Return the page that docs/ shows for a reader."""
    visit = foldspan.Visit.from_file(str(ROOT / "examples" / f"{SHOWN[reader]}.toml"))
    return foldspan.report(visit, reader=reader)


def renew() -> None:
    """Write the three pages, and the client's as a picture."""
    import pypdfium2

    for reader in SHOWN:
        (ROOT / "docs" / f"page_{reader}.pdf").write_bytes(page(reader).pdf())
    sheet = pypdfium2.PdfDocument(ROOT / "docs" / "page_client.pdf")[0]
    sheet.render(scale=1.25).to_pil().save(ROOT / "docs" / "page_client.png", optimize=True)


if __name__ == "__main__":
    renew()
