"""``foldspan report``: files, endings, what is refused, and typed texts that mean harm."""

from __future__ import annotations

import io
import json
import os
import stat
from collections.abc import Callable
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pypdf
import pytest

import foldspan
import measure_driver
from foldspan.files.output import write_private
from foldspan.pages.sanitise import as_typed
from foldspan.problems import FoldspanError

Run = Callable[..., tuple[int, str, str]]
EXAMPLES = Path(__file__).parents[2] / "examples"
VISIT = str(EXAMPLES / "visit.toml")
ENDINGS = (".html", ".pdf", ".json", ".fhir.json")
# what a page must show as letters, and never carry out
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    "</title><svg onload=alert(1)>",
    "&lt;b&gt; &amp; &#x3C;",
    "{{ 7*7 }} {% raw %} {0} %s",
    '#eval("1+1") #read("/etc/hosts")',
    "$x^2$ @ref *b* _c_ `d` \\ // ~ ---",
    "javascript:alert(1)",
)


def hostile_visit(folder: Path, text: str) -> str:
    path = folder / "visit.json"
    tree = {
        "client": {"sex": "female", "age_years": 41, "code": text},
        "visit": {"date": "2026-03-04", "tester": text, "calliper": text},
        "mass_height": {"weight_kg": 71.3, "height_cm": 168.2},
        "girths_cm": {"waist_midpoint": 82.4},
    }
    path.write_text(json.dumps(tree), encoding="utf-8")
    return str(path)


class Tags(HTMLParser):
    """Tags and words of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.names: set[str] = set()
        self.words = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.names |= {name for name, _ in attrs}

    def handle_data(self, data: str) -> None:
        self.words += data


@pytest.mark.parametrize("ending", ENDINGS)
@pytest.mark.parametrize("reader", ["client", "trainer", "clinician"])
def test_every_format_is_written_for_its_owner_only(
    run: Run, tmp_path: Path, reader: str, ending: str
) -> None:
    out = tmp_path / f"page{ending}"
    assert run("report", VISIT, "-o", str(out), "--for", reader) == (0, "", f"Written to {out}.\n")
    assert out.stat().st_size > 1000
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert os.listdir(tmp_path) == [out.name]
    if ending.endswith("json"):
        json.loads(out.read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", ["figure.png", "figure.SVG"])
def test_a_single_figure(run: Run, tmp_path: Path, name: str) -> None:
    out = tmp_path / name
    code, _, _ = run("report", VISIT, "-o", str(out), "--figure", "profile")
    assert code == 0
    start = out.read_bytes()[:60]
    assert start.startswith(b"\x89PNG") or b"<?xml" in start


@pytest.mark.parametrize(
    ("words", "code"),
    [
        (("-o", "page.docx"), "E307"),
        (("-o", "page"), "E307"),
        (("-o", "-"), "E307"),
        (("-o", ".html"), "E307"),
        (("-o", ".fhir.json"), "E307"),
        (("-o", "page.html", "--figure", "budget"), "E307"),
        (("-o", "page.png", "--figure", "pie"), "E501"),
        (("-o", "page.html", "--for", "boss"), "E501"),
        (("-o", "page.html", "--units", "stone"), "E501"),
        (("-o", "page.html", "--language", "xx"), "E501"),
        (("-o", "page.html", "--language", "de"), "E501"),
        (("-o", "nowhere/page.html"), "E303"),
        (("-o", "page.png", "--figure", "trend"), "E801"),
    ],
)
def test_what_cannot_be_done_is_said_and_nothing_is_written(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...], code: str
) -> None:
    monkeypatch.chdir(tmp_path)
    result, out, err = run("report", VISIT, *words)
    assert result == 2
    assert out == ""
    assert f"[{code}]" in err
    assert os.listdir(tmp_path) == []


@pytest.mark.parametrize("given", ["nothing.toml", "K-999"])
def test_a_visit_that_is_not_there(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, given: str
) -> None:
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    code, _, err = run("report", given, "-o", str(tmp_path / "page.html"))
    assert code == 2
    assert "[E301]" in err
    assert not (tmp_path / "page.html").exists()


def test_a_file_is_never_written_over_without_being_asked(run: Run, tmp_path: Path) -> None:
    out = tmp_path / "page.html"
    out.write_text("mine", encoding="utf-8")
    code, _, err = run("report", VISIT, "-o", str(out))
    assert code == 2
    assert "[E308]" in err
    assert out.read_text(encoding="utf-8") == "mine"
    code, _, _ = run("report", VISIT, "-o", str(out), "--force")
    assert code == 0
    assert out.read_text(encoding="utf-8").startswith("<!DOCTYPE html>")
    assert stat.S_IMODE(out.stat().st_mode) == 0o600
    assert os.listdir(tmp_path) == ["page.html"]


def test_force_replaces_a_file_and_nothing_else(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "folder.html"
    folder.mkdir()
    code, _, err = run("report", VISIT, "-o", str(folder), "--force")
    assert code == 2
    assert "[E302]" in err
    assert folder.is_dir()
    link, real = tmp_path / "link.html", tmp_path / "real.html"
    real.write_text("old", encoding="utf-8")
    link.symlink_to(real)
    code, _, err = run("report", VISIT, "-o", str(link), "--force")
    assert (code, "is a link" in err) == (2, True)
    assert link.is_symlink()
    assert real.read_text(encoding="utf-8") == "old"


def test_whatever_fails_while_writing_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "page.html"
    out.write_text("old", encoding="utf-8")

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    for name, replace in ((out, True), (tmp_path / "new.html", False)):
        with pytest.raises(FoldspanError) as caught:
            write_private(str(name), "new", replace=replace)
        assert [problem.code for problem in caught.value.problems] == ["E303"]
    assert out.read_text(encoding="utf-8") == "old"
    assert os.listdir(tmp_path) == ["page.html"]


def test_a_visit_without_a_range_is_written_and_ends_in_one(run: Run, tmp_path: Path) -> None:
    visit = tmp_path / "young.toml"
    visit.write_text('[client]\nsex = "male"\nage_years = 15\n[mass_height]\nweight_kg = 60\n')
    out = tmp_path / "page.pdf"
    code, _, _ = run("report", str(visit), "-o", str(out), "--for", "client")
    assert code == 1
    shown = " ".join(pypdf.PdfReader(out).pages[0].extract_text().split())
    assert "still growing" in shown


@pytest.mark.parametrize("text", HOSTILE)
def test_typed_texts_are_shown_and_never_carried_out(run: Run, tmp_path: Path, text: str) -> None:
    visit = hostile_visit(tmp_path, text)
    for ending in ENDINGS:
        out = tmp_path / f"page{ending}"
        assert run("report", visit, "-o", str(out), "--for", "trainer")[0] == 0
    found = Tags((tmp_path / "page.html").read_text(encoding="utf-8"))
    assert found.words.count(text) == 3  # code, tester and calliper, to the letter
    assert not {"script", "svg", "b", "iframe"} & found.tags
    assert not any(name.startswith("on") for name in found.names)
    sheets = pypdf.PdfReader(tmp_path / "page.pdf").pages
    shown = "".join(sheet.extract_text() for sheet in sheets)
    letters = "".join(shown.replace("\u200b", "").split())
    assert letters.count("".join(text.split())) == 3 + len(sheets)  # the code is at every foot
    facts = json.loads((tmp_path / "page.json").read_text(encoding="utf-8"))["page"]["parts"][0]
    assert [value for _, value in facts["rows"]].count(text) == 3


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("T-02\x00\x07\x1b[31m", "T-02[31m"),
        ("\u202eevil\u202c \u2066x\u2069 \u200f", "evil x"),
        ("a\n\n\tb\u2028c", "a b c"),
        ("👩🏽‍⚕️ ok", "👩🏽‍⚕️ ok"),
        ("  ", ""),
        ("Ωμέγα عربي", "Ωμέγα عربي"),
        ("\ud800x", "x"),
        ("\ufeffa\u200db\u200b\u2060\U000e0001", "a\u200db"),
        ("Z" + "\u0335" * 30, "Z" + "\u0335" * 3),
    ],
)
def test_typed_texts_are_cleaned_of_what_cannot_be_read(typed: str, shown: str) -> None:
    assert as_typed(typed) == shown


@pytest.mark.parametrize(
    ("text", "is_in_the_font"),
    [
        ("w" * 500, True),
        ("漢字かな", False),
        ("\U0001f469\U0001f3fd\u200d\u2695 \U0001fac0", False),
        ("e" + "\u0301" * 60, True),
        ("\ufeffa\u200b\u200db\ufeff\u2060\U000e0001e", True),
        ("العربية", True),
        ("<b>#x</b> " * 40, True),
        (" ", True),
    ],
)
def test_odd_letters_break_no_page(tmp_path: Path, text: str, is_in_the_font: bool) -> None:
    """A visit made in Python, and a note of a session, may hold what a visit file refuses."""
    plain = foldspan.Visit.from_file(VISIT)
    client = plain.client.model_copy(update={"code": text})
    visit = plain.model_copy(update={"client": client, "tester": text, "calliper": text})
    for reader in ("client", "trainer"):
        report = foldspan.report(visit, reader=reader, notes=[text, ""])
        pages = pypdf.PdfReader(io.BytesIO(report.pdf())).pages
        assert len(pages) == 1 or reader == "trainer"
        assert (report.remarks("page.pdf") == ()) is is_in_the_font
        shown = as_typed(text) if reader == "trainer" else as_typed(text)[:39]
        assert Tags(report.html()).words.count(shown) >= 2


def test_two_visits_show_the_change_and_a_wrong_order_is_refused(run: Run, tmp_path: Path) -> None:
    later, out = str(EXAMPLES / "visit_later.toml"), tmp_path / "page.html"
    assert run("report", VISIT, later, "-o", str(out), "--for", "client")[0] == 0
    assert "Since 4 March 2026" in out.read_text(encoding="utf-8")
    code, _, err = run("report", later, VISIT, "-o", str(tmp_path / "other.html"))
    assert code == 2
    assert "[E126]" in err


# ---- from the book of records


def kept(folder: Path, **answers: str) -> Path:
    """A book with one session, typed over a pipe."""
    book = folder / "book.db"
    given: dict[str, Any] = measure_driver.MAN | answers
    measure_driver.piped(book, measure_driver.lines_for(book, given))
    return book


@pytest.mark.parametrize(
    ("ending", "start"), [(".pdf", b"%PDF"), (".html", b"<!DOCTYPE"), (".txt", b"Your body fat")]
)
def test_a_session_ends_with_a_page_to_take_home(tmp_path: Path, ending: str, start: bytes) -> None:
    out = tmp_path / f"home{ending}"
    lines = [typed.line for typed in measure_driver.script_of(measure_driver.MAN)]
    measure_driver.piped(tmp_path / "book.db", [*lines, str(out)])
    assert out.read_bytes().startswith(start)
    assert stat.S_IMODE(out.stat().st_mode) == 0o600


def test_a_page_from_the_book_with_the_consent_that_was_given(run: Run, tmp_path: Path) -> None:
    book = kept(tmp_path, **{"consent.share": "y"})
    out = tmp_path / "letter.html"
    code, _, _ = run("report", "K-041", "-o", str(out), "--for", "clinician", "--book", str(book))
    assert code == 0
    assert "agreed to share this letter" in out.read_text(encoding="utf-8")


def test_a_yes_after_a_no_stands_in_the_letter(run: Run, tmp_path: Path) -> None:
    book = kept(tmp_path, **{"consent.share": "n"})
    out = tmp_path / "letter.html"
    words = ("report", "K-041", "-o", str(out), "--book", str(book), "--for", "clinician")
    code, _, err = run(*words, "--agreed")
    assert code == 0
    assert "The book says that the client declined sharing" in err
    assert "first declined to share results" in out.read_text(encoding="utf-8")


def test_a_no_is_not_forgotten_for_a_file_named_last(run: Run, tmp_path: Path) -> None:
    book = kept(tmp_path, **{"consent.share": "n"})
    later = tmp_path / "later.toml"
    later.write_text('[client]\nsex = "male"\nage_years = 34\n[mass_height]\nweight_kg = 80\n'
                     "height_cm = 179.5\n", encoding="utf-8")  # fmt: skip
    for ending, reader in ((".html", "clinician"), (".fhir.json", "trainer")):
        out = str(tmp_path / f"x{ending}")
        words = ("K-041", str(later), "-o", out, "--book", str(book), "--for", reader)
        code, _, err = run("report", *words)
        assert code == 2
        assert "[E802]" in err


def test_the_last_answer_on_sharing_counts(run: Run, tmp_path: Path) -> None:
    for first, last, code in (("y", "n", 2), ("n", "y", 0)):
        folder = tmp_path / last
        folder.mkdir()
        kept(folder, **{"consent.share": first})
        book = kept(folder, **{"consent.share": last})
        words = ("-o", str(folder / "letter.html"), "--book", str(book), "--for", "clinician")
        assert run("report", "K-041", *words)[0] == code


def test_a_client_who_wanted_no_results_is_asked_first(run: Run, tmp_path: Path) -> None:
    book = kept(tmp_path, **{"consent.show": "n"})
    words = ("report", "K-041", "-o", str(tmp_path / "x.html"), "--book", str(book))
    code, _, err = run(*words, "--for", "client")
    assert code == 0
    assert "preferred not to see the results" in err


def test_a_worry_in_the_book_counts_for_every_visit_of_the_client(run: Run, tmp_path: Path) -> None:
    book = str(tmp_path / "book.db")
    for name, extra in (("first", "[intake]\neating_concern = true\n"), ("second", "")):
        text = Path(VISIT).read_text(encoding="utf-8") + extra
        day = "2026-03-04" if name == "first" else "2026-05-04"
        path = tmp_path / f"{name}.toml"
        path.write_text(text.replace("2026-03-04", day), encoding="utf-8")
        assert run("records", "import", str(path), "--book", book)[0] == 0
    out = tmp_path / "page.json"
    assert run("report", "K-014:2", "-o", str(out), "--for", "client", "--book", book)[0] == 0
    assert "reconcile" not in json.loads(out.read_text(encoding="utf-8"))


def test_a_code_may_hold_a_colon(run: Run, tmp_path: Path) -> None:
    path, book = tmp_path / "visit.toml", str(tmp_path / "book.db")
    text = Path(VISIT).read_text(encoding="utf-8").replace("K-014", "A:1")
    path.write_text(text, encoding="utf-8")
    assert run("records", "import", str(path), "--book", book)[0] == 0
    for given in ("A:1", "A:1:1"):
        out = tmp_path / f"{given.count(':')}.html"
        assert run("report", given, "-o", str(out), "--book", book)[0] == 0


def test_a_visit_is_never_written_over(run: Run, tmp_path: Path) -> None:
    path, link = tmp_path / "visit.json", tmp_path / "link.json"
    path.write_text((EXAMPLES / "athlete.json").read_text(encoding="utf-8"), encoding="utf-8")
    link.symlink_to(path)
    before = path.read_bytes()
    for out in (path, link):
        code, _, err = run("report", str(path), "-o", str(out), "--force")
        assert code == 2
        assert "is the same file as" in err
    assert path.read_bytes() == before


def test_standard_input_can_be_named_once(run: Run, tmp_path: Path) -> None:
    code, _, err = run("report", "-", "-", "-o", str(tmp_path / "x.html"))
    assert code == 2
    assert "standard input is given twice" in err


def test_one_day_twice_is_remarked(run: Run, tmp_path: Path) -> None:
    code, _, err = run("report", VISIT, VISIT, "-o", str(tmp_path / "x.html"))
    assert code == 0
    assert "have the same date" in err


def test_no_letter_where_the_client_said_no(run: Run, tmp_path: Path) -> None:
    book = kept(tmp_path, **{"consent.share": "n"})
    out = tmp_path / "letter.pdf"
    words = ("report", "K-041:1", "-o", str(out), "--book", str(book))
    code, _, err = run(*words, "--for", "clinician")
    assert code == 2
    assert "[E802]" in err
    assert not out.exists()
    assert run(*words, "--for", "trainer")[0] == 0


def test_a_client_that_is_not_in_the_book(run: Run, tmp_path: Path) -> None:
    book = kept(tmp_path)
    out = str(tmp_path / "page.html")
    for given in ("K-042", "K-041:7"):
        code, _, err = run("report", given, "-o", out, "--book", str(book))
        assert code == 2
        assert "[E706]" in err
