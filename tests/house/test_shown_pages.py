"""The pages that docs/ shows are those made today; what clients are handed is plain and short."""

from __future__ import annotations

import importlib
import io
import re

import pypdf
import pypdfium2
import pytest
from PIL import Image
from renew_pages import ROOT, SHOWN, agreement, handout, page, sheet_files

from foldspan.text.catalogue import LANGUAGES


def words(pdf: pypdf.PdfReader) -> list[str]:
    return " ".join(sheet.extract_text() for sheet in pdf.pages).split()


@pytest.mark.parametrize("reader", SHOWN)
def test_a_page_of_the_docs_is_current(reader: str) -> None:
    shown = pypdf.PdfReader(ROOT / "docs" / f"page_{reader}.pdf")
    made = pypdf.PdfReader(io.BytesIO(page(reader).pdf()))
    assert words(shown) == words(made)  # if not: python tests/house/renew_pages.py


def squares(picture: Image.Image, size: tuple[int, int]) -> bytes:
    return picture.convert("L").resize(size).tobytes()


def assert_alike(shown: bytes, made: bytes) -> None:
    """The page as a picture, in squares: dark squares of the one are dark in the other."""
    apart = [
        abs(made_number - shown_number)
        for made_number, shown_number in zip(made, shown, strict=True)
    ]
    assert max(apart) < 40
    assert min(made) < 200  # neither is an empty sheet


def test_the_picture_of_the_clients_page_has_ink_where_the_page_has_it() -> None:
    sheet = pypdfium2.PdfDocument(page("client").pdf())[0]
    made = squares(sheet.render(scale=1.25).to_pil(), (20, 28))
    with Image.open(ROOT / "docs" / "page_client.png") as picture:
        assert_alike(squares(picture, (20, 28)), made)


def test_the_picture_of_the_readme_has_ink_where_the_figure_has_it() -> None:
    with Image.open(io.BytesIO(agreement())) as figure:
        made = squares(figure, (74, 30))
    with Image.open(ROOT / "docs" / "agreement.png") as picture:
        assert_alike(squares(picture, (74, 30)), made)


SHEET = sheet_files("en")[0].read_text(encoding="utf-8")


@pytest.mark.parametrize("code", LANGUAGES)
def test_the_sheet_for_clients_is_one_side_of_a4_and_current(code: str) -> None:
    sheet, shown = sheet_files(code)
    made = pypdf.PdfReader(io.BytesIO(handout(code)))
    assert len(made.pages) == 1
    assert [round(float(side)) for side in made.pages[0].mediabox[2:]] == [595, 842]
    assert words(pypdf.PdfReader(shown)) == words(made)
    letters = re.compile(r"[^\W\d_]+")
    on_sheet = set(letters.findall(sheet.read_text(encoding="utf-8")))
    assert on_sheet - set(letters.findall(" ".join(words(made)))) == set()


@pytest.mark.parametrize("code", [code for code in LANGUAGES if code != "en"])
def test_a_translated_sheet_has_the_same_parts_and_blanks(code: str) -> None:
    own = sheet_files(code)[0].read_text(encoding="utf-8")
    for part in (r"^\*\*.*?\.\*\* ", r"^\|", "_{3,}", "\n\n"):
        found, wanted = (re.findall(part, text, re.MULTILINE) for text in (own, SHEET))
        assert len(found) == len(wanted), part


def test_the_sheet_for_clients_is_plain_and_says_what_it_has_to() -> None:
    """Every paragraph at reading grade 8 or lower, by the formula that the client's page is held to."""
    reading_faults = importlib.import_module("cli.test_cli_explain").reading_faults
    paragraphs = [part for part in SHEET.split("\n\n")[1:] if not part.startswith(("|", "Code"))]
    plain = [re.sub(r"_{3,}|\*\*", "", part) for part in paragraphs]
    grades = [
        found for text in plain for found in reading_faults(text) if found.startswith("grade")
    ]
    assert [found for found in grades if float(found.split()[1]) > 8.0] == []
    for said in ("skip any question and any", "What we ask", "What we touch", "Who reads it",
                 "Where it is kept", "For how long", "deleted", "The law comes first"):  # fmt: skip
        assert said in SHEET.replace("\n", " ")
