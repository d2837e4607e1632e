"""The HTML pages in a real browser: which pages, how one is opened, what is looked at, how compared.

Reference pictures are renewed, after a look at each, by ``python tests/browser_pages.py renew``: it
draws every one anew under tests/references/.
"""

from __future__ import annotations

import base64
import io
import os
import shutil
import sys
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any, Literal

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image, ImageFilter
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

import foldspan
from example_visits import EXAMPLES, SOUND

REFERENCES = Path(__file__).parent / "references"
# widths in CSS pixels: a small phone, a tablet, a desk; 320 is what WCAG 2.1, 1.4.10 Reflow, names
WIDTHS = (320, 768, 1280)
# A4 between the margins of the page, 178 mm at 96 pixels an inch
PAPER_WIDTH = 673
HEIGHT = 900
PHONE_UNTIL = 600  # where the page changes to the pictures of a phone
HOSTILE = "<script>alert(1)</script><img src=x onerror=alert(2)>&amp;{{7*7}}"
HOSTILE_CODE = "<img src=x onerror=alert(1)>&amp;{{7*7}}"  # as long as a code may be
LONG_CODE, LONG = "W" * 40, "W" * 90
SIGNS = "\u202eabc\u202c \U0001f469\u200d\U0001f9b0 \u0627\u0644\u0639\u0631 \"'</title></style>"

# what makes a page of notices: one that cannot wait, and as many as somebody may well have told
URGENT: dict[str, Any] = {"symptoms": ["chest_pain", "easy_bruising"]}
MANY: dict[str, Any] = {
    "symptoms": [
        "weak",
        "falls",
        "eating_little",
        "easy_bruising",
        "thirst_and_urine",
        "fat_missing",
    ],
    "conditions": ["diabetes", "high_blood_pressure"],
    "medicines": ["blood_thinner", "water_tablets"],
    "earlier_weight_kg": 70.0,
    "earlier_weight_months_ago": 10,
    "loss_wanted": False,
    "blood_pressure_mmhg": "148/92",
}

Visit = foldspan.Visit
Make = Callable[[], Any]
Media = Literal["screen", "print"]
# two frames: what a new width asks for is asked then; a picture that fails is told later
SETTLED = """() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))
  .then(() => Promise.allSettled([...document.images].map((one) => one.decode())))"""


def example(name: str) -> Visit:
    return Visit.from_file(str(EXAMPLES / name))


def about(*names: str, **wanted: Any) -> Make:
    """Return what makes the report about examples."""
    return lambda: foldspan.report(*map(example, names), **wanted)


def invented(
    client: dict[str, Any],
    tester: str = "T-02",
    intake: dict[str, Any] | None = None,
    **wanted: Any,
) -> Make:
    """Return what makes the report about a visit of few readings."""
    tree = {
        "client": {"sex": "female", "age_years": 41, **client},
        "visit": {"date": "2026-03-04", "tester": tester},
        "mass_height": {"weight_kg": 61.3, "height_cm": 168.2},
        "girths_cm": {"waist_midpoint": [72.4, 72.9]},
        "intake": intake or {},
    }
    return lambda: foldspan.report(Visit.from_dict(tree), **wanted)


def _pages() -> dict[str, Make]:
    pages = {f"client-{path.stem}": about(path.name, reader="client") for path in SOUND}
    for reader in ("trainer", "clinician"):
        for name in ("visit", "told_at_intake"):
            pages[f"{reader}-{name}"] = about(f"{name}.toml", reader=reader)
    pages["trainer-disagreement"] = about("disagreement.toml", reader="trainer")
    pages["clinician-careful_words"] = about("careful_words.toml", reader="clinician")
    both = ("visit.toml", "visit_later.toml")
    pages |= {f"{who}-trend": about(*both, reader=who) for who in ("client", "trainer")}
    pages["client-german"] = about("visit.toml", reader="client", language="de")
    pages["client-german-trend"] = about(*both, reader="client", language="de")
    pages["client-spanish-trend"] = about(*both, reader="client", language="es")
    pages["client-french-trend"] = about(*both, reader="client", language="fr")
    for name in ("strong_build", "folds_at_scale_end"):  # the longest ones on the shorter paper
        pages[f"client-german-{name}-us"] = about(
            f"{name}.toml", reader="client", language="de", units="us"
        )
    pages["client-us"] = about("visit.toml", reader="client", units="us")
    pages["clinician-us"] = about("visit.toml", reader="clinician", units="us")
    for reader in ("client", "trainer", "clinician"):
        pages[f"{reader}-minor"] = invented({"age_years": 15}, reader=reader)
    pages["client-urgent"] = invented({}, reader="client", intake=URGENT)
    pages["client-many"] = invented({"age_years": 67}, reader="client", intake=MANY)
    notes = {"notes": (HOSTILE, LONG, SIGNS), "not_taken": (HOSTILE, LONG)}
    pages["client-hostile"] = invented({"code": HOSTILE_CODE}, LONG_CODE, reader="client")
    for reader in ("trainer", "clinician"):
        pages[f"{reader}-hostile"] = invented(
            {"code": HOSTILE_CODE}, LONG_CODE, reader=reader, **notes
        )
    return pages


PAGES = _pages()


@cache
def html_of(name: str) -> str:
    """Return the HTML of a page; made once, as its pictures take time."""
    return str(PAGES[name]().html())


# --- the browser ---


# The one without a window takes a fifth less of the processors, and shows the same.
CHROMIUM = ("chromium-headless-shell", "chromium")


def find_chromium() -> str:
    """Return where Chromium is, "" where there is none."""
    places = (os.environ.get("PATH", os.defpath), "/usr/bin")
    found = (shutil.which(name, path=place) for name in CHROMIUM for place in places)
    return next(filter(None, found), "")


def without_chromium() -> None:
    """End the test: without a browser it is skipped, but fails where every check has to run."""
    reason = "no Chromium found: these tests open the pages in it (Debian package chromium)"
    if os.environ.get("CI"):
        pytest.fail(f"{reason}; with CI set they must run")
    pytest.skip(reason)


@contextmanager
def chromium() -> Iterator[Browser]:
    """Start Chromium without a window, and end it."""
    with sync_playwright() as library:
        # no sandbox: a container runs as root; the pages are our own. Letters are drawn where they
        # stand, not moved to whole pixels, whatever the machine is set to
        settings = ["--no-sandbox", "--disable-dev-shm-usage", "--font-render-hinting=none"]
        browser = library.chromium.launch(executable_path=find_chromium(), args=settings)
        try:
            yield browser
        finally:
            browser.close()


@dataclass(slots=True)
class Opened:
    """A page that is open, and everything it said, asked for or raised."""

    page: Page
    messages: list[str] = field(default_factory=list)

    def at(self, width: int, media: Media = "screen") -> Opened:
        """Turn to another width or to paper, and wait for the pictures that belong to it."""
        self.page.emulate_media(media=media)
        self.page.set_viewport_size({"width": width, "height": HEIGHT})
        self.page.evaluate(SETTLED)
        return self


@contextmanager
def opened(context: BrowserContext, html: str, folder: Path, width: int) -> Iterator[Opened]:
    """Open a page from a file, as a reader does, and keep what it says and asks for.

    One window of a context shows all its pages one after the other: a new one takes longer than a page.
    """
    path = folder / "page.html"
    path.write_text(html, encoding="utf-8")
    page = context.pages[0] if context.pages else context.new_page()
    found = Opened(page)
    ears: dict[str, Callable[[Any], object]] = {
        "console": lambda message: found.messages.append(f"console: {message.text}"),
        "pageerror": lambda error: found.messages.append(f"error: {error}"),
        "dialog": lambda dialog: (
            found.messages.append(f"dialog: {dialog.message}"),
            dialog.dismiss(),
        ),
        "request": lambda request: _note_request(found, request.url, path.as_uri()),
    }
    for kind, ear in ears.items():
        page.on(kind, ear)  # type: ignore[call-overload]
    try:
        page.emulate_media(media="screen")
        page.set_viewport_size({"width": width, "height": HEIGHT})
        page.goto(path.as_uri())
        yield found
    finally:
        page.goto("about:blank")  # whatever was set on the page goes with it
        for kind, ear in ears.items():
            page.remove_listener(kind, ear)


def _note_request(found: Opened, address: str, own: str) -> None:
    if address != own and not address.startswith("data:"):
        found.messages.append(f"request: {address[:80]}")


def new_context(browser: Browser, **wanted: Any) -> BrowserContext:
    """Return a context that reaches no network: every address but files and data is cut off."""
    context = browser.new_context(**wanted)
    context.set_default_timeout(20_000)
    context.route(lambda address: address.startswith(("http", "ws")), lambda route: route.abort())
    return context


# --- what is looked at ---

LOOK = (Path(__file__).parent / "pages" / "browser_look.js").read_text(encoding="utf-8")


def faults_of(found: Opened, width: int) -> list[str]:
    """Return what is wrong with an open page at a width; empty when nothing is."""
    return found.messages + list(found.page.evaluate(LOOK, {"phone": width <= PHONE_UNTIL}))


def axe_answer(page: Page, options: dict[str, Any]) -> dict[str, Any]:
    """Return what axe says of a page; the script is read into a page once."""
    if page.evaluate("typeof axe") == "undefined":
        return dict(Axe().run(page, options=options).response)
    return dict(page.evaluate("options => axe.run(document, options)", options))


# --- reference pictures ---

# What makes a comparison hold on every machine: letters come from one font file, the one that the
# drawing library brings along, so that lines break alike everywhere; the pages' own security policy is
# put aside for it. What is left is antialiasing, and blurring takes that away.
FONTS = {"400": "DejaVuSans.ttf", "700": "DejaVuSans-Bold.ttf"}
SCALE = 400  # the width of a kept picture at most [pixels]
COARSE = 100  # the width at which pictures are compared [pixels]
STRIP = 10  # the height of a strip that is compared by itself [pixels]
# Grey levels of 255. Another antialiasing comes to 2 at most in the worst strip; a missing picture, a
# lost frame or other margins to more than 15 (common practice, no source; the tests hold both sides).
TOLERANCE = 6.0
SIZE_TOLERANCE = 0.03  # of the height


@dataclass(frozen=True, slots=True)
class Shot:
    """One reference picture: a page, a width, and the part of it."""

    page: str
    width: int
    part: str = "body"


SHOTS = {
    "client_320": Shot("client-visit", 320),
    "client_1280": Shot("client-visit", 1280),
    "trainer_agreement": Shot("trainer-visit", 1280, "figure >> nth=0"),
}


@cache
def one_font() -> str:
    """Return style that sets every letter of a page in the font file of the drawing library."""
    from matplotlib import get_data_path

    faces = []
    for weight, name in FONTS.items():
        data = base64.b64encode((Path(get_data_path()) / "fonts" / "ttf" / name).read_bytes())
        source = f"url(data:font/ttf;base64,{data.decode()})"
        faces.append(f"@font-face {{ font-family: Fixed; font-weight: {weight}; src: {source}; }}")
    return "".join(faces) + "body { font-family: Fixed !important; }"


def font_context(browser: Browser, **wanted: Any) -> BrowserContext:
    """Return a context in which ``one_font`` can be set."""
    return new_context(browser, bypass_csp=True, **wanted)


def set_one_font(page: Page, style: str = "") -> None:
    """Set the font, and more style, and wait until it is there; once for as long as a page stands."""
    if not page.evaluate("[...document.fonts].some(one => one.family === 'Fixed')"):
        page.add_style_tag(content=one_font() + style)
        page.evaluate("Promise.all([...document.fonts].map(one => one.load()))")


def photograph(context: BrowserContext, shot: Shot, folder: Path, style: str = "") -> Image.Image:
    """Return a picture of a page in grey, made small."""
    with opened(context, html_of(shot.page), folder, shot.width) as found:
        set_one_font(found.page, style)
        whole = found.page.locator(shot.part).screenshot(animations="disabled")
    picture = Image.open(io.BytesIO(whole)).convert("L")
    width = min(SCALE, shot.width)
    return picture.resize((width, round(picture.height * width / picture.width)), Image.LANCZOS)


def difference(first: Image.Image, second: Image.Image) -> float:
    """Return how far two pictures are apart in their worst strip, blurred [grey levels]."""
    height = round(first.height * COARSE / first.width)
    blurred = [
        np.asarray(
            picture.filter(ImageFilter.GaussianBlur(4)).resize((COARSE, height), Image.BOX),
            dtype=float,
        )
        for picture in (first, second)
    ]
    apart = np.abs(blurred[0] - blurred[1])
    strips = [apart[top : top + STRIP].mean() for top in range(0, height, STRIP)]
    return float(max(strips))


def apart_in_size(first: Image.Image, second: Image.Image) -> float:
    """Return how far two pictures are apart in their height for one width, as a share."""
    ratios = [picture.height / picture.width for picture in (first, second)]
    return abs(ratios[1] / ratios[0] - 1.0)


def is_alike(kept: Image.Image, now: Image.Image) -> bool:
    """Return whether a picture is the one that was kept, as far as machines differ."""
    return apart_in_size(kept, now) <= SIZE_TOLERANCE and difference(kept, now) <= TOLERANCE


def kept_picture(name: str) -> Image.Image:
    with Image.open(REFERENCES / f"{name}.png") as kept:
        return kept.convert("L")


def renew() -> None:
    """Draw every reference picture anew; look at each before it is kept."""
    REFERENCES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, chromium() as browser:
        context = font_context(browser)
        for name, shot in SHOTS.items():
            path = REFERENCES / f"{name}.png"
            # 16 greys are enough, and keep the file small
            picture = photograph(context, shot, Path(folder)).quantize(16)
            picture.save(path, optimize=True)
            print(f"{path.name}: {picture.width} x {picture.height}, {path.stat().st_size} bytes")


def main(words: Sequence[str]) -> int:
    if list(words) != ["renew"]:
        print("usage: python tests/browser_pages.py renew", file=sys.stderr)
        return 2
    renew()
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
