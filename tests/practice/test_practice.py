"""Who hands a page over: the settings file, what in it is refused and how, and where it stands."""

from __future__ import annotations

import base64
import io
import json
import os
from collections.abc import Callable
from pathlib import Path

import pypdf
import pytest

import foldspan
from foldspan.pages.document import FillIn
from foldspan.practice.logo import LARGEST, fault_of, kind_of
from foldspan.practice.model import KEYS, LONGEST

Run = Callable[..., tuple[int, str, str]]
EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT = str(EXAMPLES / "visit.toml")
# one red pixel
PNG = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mP8z8BQDwAEhQGAhKmMIQAAAABJRU5ErkJggg=="
)
SVG = (
    b'<svg xmlns="http://www.w3.org/2000/svg" width="40" height="20"><rect width="40" height="20"'
    b' fill="#1f3a4d"/></svg>'
)
WHOLE = """
[practice]
name = "Riverside Strength Studio"
address = "4 Mill Lane, Exampleton EX4 3PL"
telephone = "+44 1632 960123"
emergency_number = "112"
language = "de"
paper = "letter"
letterhead = "Measurements by appointment"
logo = "logo.svg"
"""


def settings(folder: Path, monkeypatch: pytest.MonkeyPatch, text: str = WHOLE) -> Path:
    place = folder / "settings.toml"
    place.write_text(text, encoding="utf-8")
    (folder / "logo.svg").write_bytes(SVG)
    monkeypatch.setenv("FOLDSPAN_SETTINGS", str(place))
    return place


def urgent() -> foldspan.Visit:
    tree = {
        "client": {"sex": "female", "age_years": 41},
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
        "intake": {"symptoms": ["chest_pain"]},
    }
    return foldspan.Visit.from_dict(tree)


def test_a_practice_is_read_from_the_settings_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings(tmp_path, monkeypatch)
    practice = foldspan.site_practice()
    assert practice is not None
    assert (practice.name, practice.telephone) == ("Riverside Strength Studio", "+44 1632 960123")
    assert (practice.language, practice.paper, practice.logo) == ("de", "letter", SVG)
    assert "960123" not in repr(practice)


@pytest.mark.parametrize(
    "text", ["", "# nothing settled yet\n", "[practice]\n", 'local = "none"\n']
)
def test_without_a_section_there_is_no_practice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, text: str
) -> None:
    monkeypatch.setenv("FOLDSPAN_SETTINGS", "")
    if text:
        settings(tmp_path, monkeypatch, text)
    assert foldspan.site_practice() is None


@pytest.mark.parametrize(
    ("line", "code", "name"),
    [
        ('town = "Exampleton"', "E115", "town"),
        ("name = 7", "E121", "name"),
        ('address = "4 Mill Lane\\nExampleton"', "E121", "address"),
        (f'letterhead = "{"x" * 101}"', "E121", "letterhead"),
        ('language = "Deutsch"', "E113", "language"),
        ('paper = "a5"', "E113", "paper"),
        ("logo = 7", "E121", "logo"),
        ('logo = "nowhere.png"', "E301", "logo"),
        ('logo = "."', "E302", "logo"),
        ('logo = "settings.toml"', "E303", "logo"),
    ],
)
def test_a_faulty_line_says_where_what_and_how(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, line: str, code: str, name: str
) -> None:
    place = settings(tmp_path, monkeypatch, f"[practice]\n{line}\n")
    status, _, err = run("report", VISIT, "-o", str(tmp_path / "page.html"))
    assert status == 2
    assert f"{place}: practice: {name}" in err
    assert f"[{code}]" in err
    assert not (tmp_path / "page.html").exists()
    # what needs no practice does not ask for one
    assert run("reconcile", VISIT)[0] == 0


def test_every_fault_is_told_at_once(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    lines = 'town = "x"\nname = 7\npaper = "a5"\nlogo = "nowhere.png"\n'
    settings(tmp_path, monkeypatch, f"[practice]\n{lines}")
    with pytest.raises(foldspan.FoldspanError) as caught:
        foldspan.site_practice()
    assert sorted(problem.code for problem in caught.value.problems) == [
        "E113", "E115", "E121", "E301",
    ]  # fmt: skip


def test_a_section_that_is_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    settings(tmp_path, monkeypatch, 'practice = "Riverside"\n')
    with pytest.raises(foldspan.FoldspanError, match="E121"):
        foldspan.site_practice()


def test_a_practice_made_in_python_is_held_to_the_same() -> None:
    for name, most in LONGEST.items():
        assert getattr(foldspan.Practice(**{name: "x" * most}), name)
        with pytest.raises(foldspan.FoldspanError, match="E121"):
            foldspan.Practice(**{name: "x" * (most + 1)})
    with pytest.raises(foldspan.FoldspanError, match="E303"):
        foldspan.Practice(logo=b"no picture")
    assert set(KEYS) == set(LONGEST) | {"language", "paper", "logo"}


def jpeg() -> bytes:
    import numpy as np
    from matplotlib.image import imsave

    held = io.BytesIO()
    imsave(held, np.zeros((8, 8, 3), np.uint8), format="jpeg")
    return held.getvalue()


def test_pictures_that_can_be_a_logo() -> None:
    for picture, kind in ((PNG, "png"), (jpeg(), "jpeg"), (SVG, "svg")):
        assert (kind_of(picture), fault_of(picture)) == (kind, "")


@pytest.mark.parametrize(
    ("picture", "pixels"),
    [
        (PNG, 1),
        (jpeg(), 1),
        (SVG, 0),
        (b'<?xml version="1.0" encoding="ISO-8859-1"?>' + SVG[:-6] + b"<!-- \xe9 --></svg>", 0),
    ],
)
def test_each_kind_of_logo_is_set_on_a_letter(picture: bytes, pixels: int) -> None:
    assert not fault_of(picture)
    practice = foldspan.Practice(name="Riverside Strength Studio", logo=picture)
    report = foldspan.report(urgent(), reader="clinician", practice=practice)
    (sheet,) = pypdf.PdfReader(io.BytesIO(report.pdf())).pages
    assert len(sheet.images) == pixels
    assert "Riverside Strength Studio" in sheet.extract_text()


@pytest.mark.parametrize(
    "picture",
    [
        b"GIF89a" + bytes(40),
        PNG[:40],
        PNG + bytes(LARGEST),
        b"\xff\xd8\xff\xe0 no more",
        SVG[:-6],
        b"<html><svg></svg></html>",
        SVG.replace(b"<rect", b"<script>alert(1)</script><rect"),
        SVG.replace(b"<rect", b'<rect onload="alert(1)"'),
        SVG.replace(b"<rect", b'<image href="https://example.org/x.png"/><rect'),
        SVG.replace(b"<rect", b'<image href="/etc/hostname"/><rect'),
        SVG.replace(b"<rect", b"<style>@import 'x.css';</style><rect"),
        SVG.replace(b'"#1f3a4d"', b'"url(https://example.org/x.svg#a)"'),
        b'<!DOCTYPE svg [<!ENTITY a "aa">]>' + SVG,
    ],
)
def test_pictures_that_cannot(picture: bytes) -> None:
    assert fault_of(picture)


def test_a_known_emergency_number_stands_where_a_line_would() -> None:
    practice = foldspan.Practice(emergency_number="112")
    report = foldspan.report(urgent(), reader="client", practice=practice)
    (part,) = [part for part in report.document.parts if isinstance(part, FillIn)]
    assert part.lines == (("Emergency number", "112"),)
    text = pypdf.PdfReader(io.BytesIO(report.pdf())).pages[0].extract_text()
    assert "Emergency number: 112" in " ".join(text.split())
    assert "Emergency number: <bdi>112</bdi>" in report.html()
    (tree,) = [part for part in report.to_dict()["page"]["parts"] if part["kind"] == "fill_in"]
    assert tree["values"] == ["112"]
    plain = foldspan.report(urgent(), reader="client").to_dict()["page"]["parts"]
    assert [part["values"] for part in plain if part["kind"] == "fill_in"] == [[""]]


def test_language_and_paper_are_those_of_the_practice_until_others_are_asked_for(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings(tmp_path, monkeypatch)

    def made(*more: str) -> tuple[str, float]:
        pdf, tree = tmp_path / "p.pdf", tmp_path / "p.json"
        for out in (pdf, tree):
            assert run("report", VISIT, "-o", str(out), "--force", *more)[0] == 0
        width = float(pypdf.PdfReader(pdf).pages[0].mediabox.width)
        return json.loads(tree.read_text())["page"]["language"], round(width)

    letter, a4 = 612, 595
    assert made("--for", "client") == ("de", letter)
    assert made("--for", "client", "--language", "en", "--paper", "a4") == ("en", a4)
    assert made("--for", "trainer") == ("en", letter)
    monkeypatch.setenv("FOLDSPAN_SETTINGS", "")
    assert made("--for", "client") == ("en", a4)
    assert made("--for", "client", "--units", "us") == ("en", letter)
    assert made("--for", "client", "--units", "us", "--paper", "a4") == ("en", a4)


def test_settings_and_logo_are_never_written_over(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings(tmp_path, monkeypatch)
    code, _, err = run("report", VISIT, "-o", str(tmp_path / "logo.svg"), "--force")
    assert (code, "[E308]" in err) == (2, True)
    assert (tmp_path / "logo.svg").read_bytes() == SVG
    assert sorted(os.listdir(tmp_path)) == ["logo.svg", "settings.toml"]


@pytest.mark.parametrize("paper", ["a5", "us-letter"])
def test_a_paper_that_is_not_known(run: Run, tmp_path: Path, paper: str) -> None:
    out = str(tmp_path / "p.pdf")
    code, _, err = run("report", VISIT, "-o", out, "--paper", paper)
    assert (code, "[E501]" in err) == (2, True)
    with pytest.raises(foldspan.FoldspanError, match="E501"):
        foldspan.report(urgent(), paper=paper)


def test_letters_of_a_screened_table_have_the_head_of_the_practice(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings(tmp_path, monkeypatch)
    table, folder = tmp_path / "in.csv", tmp_path / "letters"
    # a letter of a visit, and one of a row of which no visit can be made
    rows = ("code,sex,age_years,weight_kg,height_cm,symptoms", "U-1,male,41,71,168,chest pain",
            "U-2,,,,,chest pain")  # fmt: skip
    table.write_text("\n".join(rows) + "\n", encoding="utf-8")
    out = str(tmp_path / "out.csv")
    run("screen", str(table), "-o", out, "--letters", str(folder), "--quiet")
    made = sorted(folder.iterdir())
    assert len(made) == 2
    for path in made:
        (sheet,) = pypdf.PdfReader(path).pages
        assert round(float(sheet.mediabox.width)) == 612  # US Letter, as the practice uses
        text = " ".join(sheet.extract_text().split())
        for words in ("Riverside Strength Studio", "+44 1632 960123", "Measurements by app"):
            assert words in text
