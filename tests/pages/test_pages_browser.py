"""The HTML pages as Chromium shows, prints and explains them; browser_pages.py says browser_pages.

Reference pictures: ``python tests/browser_pages.py renew`` draws them anew, to be looked at.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pypdf
import pytest
from playwright.sync_api import Browser, BrowserContext

import browser_pages
import browser_touch
from browser_pages import PAGES, SHOTS, WIDTHS, html_of, opened
from foldspan.figures.style import SHAPES

AXE_RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice")
A4, LETTER = (210.0, 297.0), (215.9, 279.4)  # mm: ISO 216; ANSI/ASME Y14.1
MM = 25.4 / 72.0  # a point
# WCAG 2.1, 1.4.12 Text Spacing: what a reader may set without losing anything
WIDER_TEXT = (
    "* { line-height: 1.5 !important; letter-spacing: .12em !important;"
    " word-spacing: .16em !important; } p { margin-bottom: 2em !important; }"
)
# smallest letters of a picture [CSS pixels]; common practice, no source
SMALLEST = 11.0
SEEN: tuple[tuple[int, browser_pages.Media], ...] = (
    *((width, "screen") for width in WIDTHS),
    (browser_pages.PAPER_WIDTH, "print"),
)
# the plain page, the longest ones in either language, the other paper, and pages of few words
ON_ONE_SHEET = tuple(
    f"client-{name}"
    for name in (
        *("visit", "told_at_intake", "disagreement", "trend", "german-trend", "us", "minor"),
        *("many", "urgent", "german-strong_build-us", "german-folds_at_scale_end-us"),
    )
)
EVERY = pytest.mark.parametrize("name", PAGES)


@pytest.fixture(scope="module")
def context(browser: Browser) -> Iterator[BrowserContext]:
    made = browser_pages.new_context(browser)
    yield made
    made.close()


@pytest.fixture(scope="module")
def fixed(browser: Browser) -> Iterator[BrowserContext]:
    """A context whose letters are the same on every machine."""
    made = browser_pages.font_context(browser)
    yield made
    made.close()


def violations(found: Any) -> list[str]:
    """What axe holds against a page, and contrasts that it could not judge."""
    options = {
        "runOnly": list(AXE_RULES), "resultTypes": ["violations", "incomplete"], "selectors": False,
    }  # fmt: skip
    answer = browser_pages.axe_answer(found.page, options)
    assert len(answer["passes"]) > 5, "axe has looked at next to nothing"
    unsure = [finding for finding in answer["incomplete"] if finding["id"] == "color-contrast"]
    return [
        f"{violation['id']}: {node['html'][:100]}"
        for violation in (*answer["violations"], *unsure)
        for node in violation["nodes"]
    ]


@dataclass(frozen=True)
class Looked:
    """What was seen of one page: faults by width and paper, what axe holds against it by width."""

    faults: dict[int, list[str]]
    against: dict[int, list[str]]
    language: str
    title: str
    heading: str


@pytest.fixture(scope="module")
def look(
    context: BrowserContext, tmp_path_factory: pytest.TempPathFactory
) -> Callable[[str], Looked]:
    """Look at a page by its name; it is opened once for all that is looked at."""
    folder = tmp_path_factory.mktemp("looked")

    @cache
    def at(name: str) -> Looked:
        with opened(context, html_of(name), folder, WIDTHS[0]) as found:
            faults = {
                width: browser_pages.faults_of(found.at(width, media), width)
                for width, media in SEEN
            }
            language, title = found.page.evaluate("[document.documentElement.lang, document.title]")
            heading = found.page.locator("h1").inner_text()
            against = {width: violations(found.at(width)) for width in (320, 1280)}
        return Looked(faults, against, language, title, heading)

    return at


@EVERY
def test_a_page_is_quiet_and_whole(look: Callable[[str], Looked], name: str) -> None:
    seen = look(name)
    assert {width: faults for width, faults in seen.faults.items() if faults} == {}
    assert len(seen.faults) == len(SEEN)
    spoken = {"german": "de", "spanish": "es", "french": "fr"}
    assert seen.language == next((code for word, code in spoken.items() if word in name), "en")
    assert seen.title == seen.heading


@EVERY
def test_axe_finds_nothing(look: Callable[[str], Looked], name: str) -> None:
    """WCAG 2.1, levels A and AA, and good practice, as axe-core checks them; contrast included."""
    assert look(name).against == {320: [], 1280: []}


@pytest.mark.parametrize("name", ["client-visit", "trainer-trend", "clinician-told_at_intake"])
def test_without_scripts_it_says_the_same(
    context: BrowserContext, browser: Browser, name: str, tmp_path: Path
) -> None:
    quiet = browser_pages.new_context(browser, java_script_enabled=False)
    said = []
    for used in (context, quiet):
        with opened(used, html_of(name), tmp_path, 320) as found:
            said.append((found.page.inner_text("body"), found.page.locator("figure").count()))
            assert found.messages == []
    quiet.close()
    assert said[0] == said[1]
    assert len(said[0][0].split()) > 80


@pytest.mark.parametrize(
    "name", ["client-visit", "client-german-trend", "trainer-visit", "clinician-told_at_intake"]
)
def test_a_reader_may_space_letters_wider(fixed: BrowserContext, name: str, tmp_path: Path) -> None:
    with opened(fixed, html_of(name), tmp_path, 320) as found:
        found.page.add_style_tag(content=WIDER_TEXT)
        assert browser_pages.faults_of(found, 320) == []


@pytest.mark.parametrize("width, shape", [(320, "phone"), (601, "screen"), (1280, "screen")])
def test_letters_of_pictures_can_be_read(
    context: BrowserContext, width: int, shape: str, tmp_path: Path
) -> None:
    """Letters in a picture do not grow with the reader's own text size, so they start large enough."""
    with opened(context, html_of("trainer-visit"), tmp_path, width) as found:
        shown, drawn = found.page.evaluate(
            "[document.images[0].width, document.images[0].naturalWidth]"
        )
    letters = SHAPES[shape].size * 96.0 / 72.0 * shown / drawn
    assert letters >= SMALLEST


def test_hostile_text_stands_there_as_text(context: BrowserContext, tmp_path: Path) -> None:
    with opened(context, html_of("trainer-hostile"), tmp_path, 320) as found:
        found.page.wait_for_timeout(200)
        assert found.messages == []
        said = found.page.inner_text("body").replace("\u200b", "")
        for typed in (
            browser_pages.HOSTILE,
            browser_pages.HOSTILE_CODE,
            browser_pages.LONG,
            browser_pages.LONG_CODE,
        ):
            assert typed in said
        assert found.page.locator("script, img:not(figure img)").count() == 0


# --- on paper ---


def paper_of(context: BrowserContext, name: str, folder: Path) -> list[tuple[float, float]]:
    """The sheets that a page is printed on [mm], set in the widest of the usual fonts."""
    with opened(context, html_of(name), folder, 1280) as found:
        browser_pages.set_one_font(found.page)
        found.at(browser_pages.PAPER_WIDTH, "print")
        printed = found.page.pdf(prefer_css_page_size=True)
    sheets = [page.mediabox for page in pypdf.PdfReader(io.BytesIO(printed)).pages]
    return [(float(sheet.width) * MM, float(sheet.height) * MM) for sheet in sheets]


@pytest.mark.parametrize("name", ON_ONE_SHEET)
def test_a_client_s_page_is_one_sheet(fixed: BrowserContext, name: str, tmp_path: Path) -> None:
    sheets = paper_of(fixed, name, tmp_path)
    assert sheets[0] == pytest.approx(LETTER if name.endswith("-us") else A4, abs=0.5)
    assert len(sheets) == 1


@pytest.mark.parametrize("name", ["trainer-trend", "trainer-told_at_intake"])
def test_a_trainer_s_page_is_two_sheets(fixed: BrowserContext, name: str, tmp_path: Path) -> None:
    """As the PDF: the longest of the examples."""
    assert len(paper_of(fixed, name, tmp_path)) == 2


# smallest letters on paper [points]: a client's page, and pages of those who measure and refer
ON_PAPER = {"client-trend": 9.0, "trainer-trend": 7.5, "clinician-told_at_intake": 7.5}
SIZES = """() => [...document.body.querySelectorAll('*')]
  .filter((one) => [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim()))
  .map((one) => parseFloat(getComputedStyle(one).fontSize) * 0.75)"""
# where the last picture ends and the small print begins [CSS pixels], and its share of the width
BELOW = """() => {
  const shown = [...document.images].filter((one) => one.offsetParent);
  const foot = document.querySelector('footer').getBoundingClientRect();
  const sheet = document.querySelector('main').getBoundingClientRect();
  return [Math.max(...shown.map((one) => one.getBoundingClientRect().bottom)), foot.top,
    foot.width / sheet.width];
}"""
PICTURES = """() => [...document.images].filter((one) => one.offsetParent)
  .map((one) => [one.className, one.width / one.naturalWidth])"""


@pytest.mark.parametrize("name", ON_PAPER)
def test_no_letter_on_paper_is_too_small(
    context: BrowserContext, name: str, tmp_path: Path
) -> None:
    shapes = {"wide": SHAPES["screen"], "narrow": SHAPES["phone"]}
    with opened(context, html_of(name), tmp_path, 1280) as found:
        found.at(browser_pages.PAPER_WIDTH, "print")
        sizes = found.page.evaluate(SIZES)
        drawn = [shapes[kind].size * share for kind, share in found.page.evaluate(PICTURES)]
    assert min([*sizes, *drawn]) >= ON_PAPER[name] - 0.01


@pytest.mark.parametrize("width", [320, 1280])
@pytest.mark.parametrize("name", ["client-visit", "client-us", "client-trend"])
def test_small_print_stands_below_the_pictures(
    context: BrowserContext, name: str, width: int, tmp_path: Path
) -> None:
    """On paper: at full width, and beside no picture, whatever the window was."""
    with opened(context, html_of(name), tmp_path, width) as found:
        found.at(browser_pages.PAPER_WIDTH, "print")
        bottom, top, share = found.page.evaluate(BELOW)
    white = 4.0 / MM * 96.0 / 72.0  # below the axis of a picture
    assert top >= bottom - white
    assert share > 0.98


def test_longer_pages_take_more_sheets(fixed: BrowserContext, tmp_path: Path) -> None:
    """So that one sheet above does not only mean that the rest was cut off."""
    assert len(paper_of(fixed, "trainer-visit", tmp_path)) > 1


# --- kept pictures ---


@pytest.mark.parametrize("name", SHOTS)
def test_it_looks_as_it_did(fixed: BrowserContext, name: str, tmp_path: Path) -> None:
    kept = browser_pages.kept_picture(name)
    now = browser_pages.photograph(fixed, SHOTS[name], tmp_path)
    assert browser_pages.apart_in_size(kept, now) <= browser_pages.SIZE_TOLERANCE
    assert browser_pages.difference(kept, now) <= browser_pages.TOLERANCE


def test_kept_pictures_are_small_and_none_is_left_over() -> None:
    kept = browser_pages.REFERENCES.rglob("*.png")
    files = {str(path.relative_to(browser_pages.REFERENCES).with_suffix("")): path for path in kept}
    faces = {
        browser_touch.place_of(name, width).removesuffix(".png")
        for name in browser_touch.PICTURED
        for width in browser_touch.WIDTHS
    }
    assert set(files) == {*SHOTS, *faces}
    assert all(path.stat().st_size < 60_000 for path in files.values())
    assert all(browser_pages.kept_picture(path).width <= browser_pages.SCALE for path in files)


def test_another_antialiasing_looks_alike(browser: Browser, tmp_path: Path) -> None:
    """Drawn at twice the pixels every edge falls otherwise, as on another machine."""
    finer = browser_pages.font_context(browser, device_scale_factor=2)
    for name, shot in SHOTS.items():
        now = browser_pages.photograph(finer, shot, tmp_path)
        assert browser_pages.is_alike(browser_pages.kept_picture(name), now), name
    finer.close()


SPOILT = {
    "one picture gone": "figure:nth-of-type(1) img { visibility: hidden; }",
    "both pictures gone": "figure { display: none; }",
    "picture at half its width": "img { width: 50%; }",
    "the range no larger than the rest": ".large .lead { font-size: 1rem; }",
    "no page style": "* { all: revert !important; }",
    "everything pushed aside": "main { margin-left: 2.5rem; }",
    "letters too large": "html { font-size: 125%; }",
}


@pytest.mark.parametrize("style", SPOILT.values(), ids=SPOILT)
def test_what_is_spoilt_does_not_look_alike(
    fixed: BrowserContext, style: str, tmp_path: Path
) -> None:
    now = browser_pages.photograph(fixed, SHOTS["client_320"], tmp_path, style)
    assert not browser_pages.is_alike(browser_pages.kept_picture("client_320"), now)


# --- the checks themselves can fail ---

BAD_BODY = """<!DOCTYPE html><html><head><title>x</title></head><body>
<h2>Second first</h2><script>console.log("said")</script><p style="width: 2000px">wide</p>
<p style="width: 1em; overflow-wrap: anywhere">letters</p><p onclick="a()" style="color: #bbb">pale</p>
<figure><picture><source media="(max-width: 600px)" srcset="data:,"><img src="https://example.invalid/a.png"
alt=""></picture></figure><script>throw new Error("raised")</script></body></html>"""
EXPECTED_FAULTS = (
    *("console: said", "error: raised", "request: https://example.invalid", "the page is 2"),
    *("beyond the edge: p", "words broken in two: letters", "picture not loaded"),
    *("a picture without words", "a script in the page", "code in an attribute: onclick"),
    *("not one h1 first",),
)


def test_a_bad_page_is_told(context: BrowserContext, tmp_path: Path) -> None:
    with opened(context, BAD_BODY, tmp_path, 1280) as found:
        faults = browser_pages.faults_of(found, 1280)
        against = {violation.split(":")[0] for violation in violations(found)}
    missed = [
        kind for kind in EXPECTED_FAULTS if not any(fault.startswith(kind) for fault in faults)
    ]
    assert missed == []
    assert against >= {"color-contrast", "html-has-lang"}


def test_a_page_of_the_wrong_picture_is_told(context: BrowserContext, tmp_path: Path) -> None:
    html = html_of("client-visit").replace(
        "screen and (max-width: 600px)", "screen and (max-width: 10px)"
    )
    with opened(context, html, tmp_path, 320) as found:
        assert "the picture of the other width" in str(browser_pages.faults_of(found, 320))


@pytest.mark.parametrize("ci, ends", [("", pytest.skip.Exception), ("1", pytest.fail.Exception)])
def test_without_a_browser_it_is_said(
    monkeypatch: pytest.MonkeyPatch, ci: str, ends: type[BaseException]
) -> None:
    monkeypatch.setenv("CI", ci)
    monkeypatch.setattr(browser_pages.shutil, "which", lambda *_, **__: None)
    assert browser_pages.find_chromium() == ""
    with pytest.raises(ends, match="no Chromium"):
        browser_pages.without_chromium()
