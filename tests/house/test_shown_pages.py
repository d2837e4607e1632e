"""The three pages that docs/ shows are those that the program makes today."""

from __future__ import annotations

import io

import pypdf
import pypdfium2
import pytest
from renew_pages import ROOT, SHOWN, page


def words(pdf: pypdf.PdfReader) -> list[str]:
    return " ".join(sheet.extract_text() for sheet in pdf.pages).split()


@pytest.mark.parametrize("reader", SHOWN)
def test_a_page_of_the_docs_is_current(reader: str) -> None:
    shown = pypdf.PdfReader(ROOT / "docs" / f"page_{reader}.pdf")
    made = pypdf.PdfReader(io.BytesIO(page(reader).pdf()))
    assert words(shown) == words(made)  # if not: python tests/house/renew_pages.py


def test_the_picture_of_the_clients_page_has_ink_where_the_page_has_it() -> None:
    """The page as a picture, in squares: dark squares of the one are dark in the other."""
    sheet = pypdfium2.PdfDocument(page("client").pdf())[0]
    made = sheet.render(scale=1.25).to_pil().convert("L").resize((20, 28))
    from PIL import Image

    with Image.open(ROOT / "docs" / "page_client.png") as picture:
        shown = picture.convert("L").resize((20, 28))
    apart = [abs(one - other) for one, other in zip(made.tobytes(), shown.tobytes(), strict=True)]
    assert max(apart) < 40
    assert min(made.tobytes()) < 200  # neither is an empty sheet
