"""Touch: a session of ``foldspan serve`` in a real browser, one tap or key after the other; pictures.

Reference pictures and those of the docs are renewed, after a look at each, by
``python tests/browser_touch.py renew``.
"""

from __future__ import annotations

import asyncio
import io
import sys
import tempfile
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import uvicorn
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page

import browser_pages
from browser_pages import REFERENCES, SCALE
from foldspan.browser.access.guard import Guard
from foldspan.browser.app import application
from foldspan.browser.desk import Desk
from foldspan.browser.serve import HERE, _listening

DOCS = Path(__file__).parents[1] / "docs"
WIDTHS = (360, 768, 1280)


@contextmanager
def served(book: Path) -> Iterator[tuple[str, Desk]]:
    """Serve the pages over a book in a thread; yields the way in."""
    desk = Desk(str(book), start_key="a-key-of-this-test")
    listening = _listening(HERE, 0)
    number = listening.getsockname()[1]
    guard = Guard(application(desk), desk.devices, [f"{HERE}:{number}"])
    config = uvicorn.Config(guard, lifespan="on", log_level="critical", access_log=False)
    server = uvicorn.Server(config)
    thread = threading.Thread(
        target=lambda: asyncio.run(server.serve(sockets=[listening])), daemon=True
    )
    thread.start()
    try:
        yield f"http://{HERE}:{number}/enter/{desk.start_key}", desk
    finally:
        server.should_exit = True
        thread.join(timeout=10)
        listening.close()


def page_in(browser: Browser, address: str, **wanted: Any) -> Page:
    context: BrowserContext = browser.new_context(viewport={"width": 360, "height": 740}, **wanted)
    context.set_default_timeout(20_000)
    page = context.new_page()
    page.goto(address)
    return page


def press(page: Page, words: str) -> None:
    """Press the button that has just these words."""
    page.locator("main").get_by_role("button", name=words, exact=True).click()


def led_on(page: Page, act: Callable[[], Any]) -> None:
    """Do what leads to another page, and wait until that page stands there whole."""
    with page.expect_navigation():
        act()


class Session:
    """A session at an open page; each step waits until the next prompt stands there."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def settled(self, act: Callable[[], Any]) -> None:
        self.page.evaluate("document.body.dataset.before = 'yes'")
        act()
        self.page.wait_for_selector("body:not([data-before])")

    def press(self, words: str) -> None:
        self.settled(lambda: press(self.page, words))

    def tap_on(self, words: str) -> None:
        """Tap on a button with a finger."""
        button = self.page.locator("main").get_by_role("button", name=words, exact=True)
        self.settled(button.tap)

    def type(self, text: str) -> None:
        self.page.fill("[name=typed]", text)
        self.settled(lambda: self.page.press("[name=typed]", "Enter"))

    def tap(self, digits: str) -> None:
        """Type a number on the page's own pad."""
        for digit in digits:
            self.page.click(f"[data-digit='{digit}']")
        self.settled(lambda: self.page.click(".pad .enter"))

    def keys(self, text: str) -> None:
        """Type without touching anything: what is asked has the focus."""
        self.page.keyboard.type(text)
        self.settled(lambda: self.page.keyboard.press("Enter"))

    def until_the_plan(self, code: str) -> None:
        self.press("Start a session")
        self.type(code)
        self.press("Skip")
        self.press("Male")
        self.type("34")
        self.press("Yes")
        self.press("No")
        for _ in range(4):
            self.press("None of these")

    def until_the_readings(self, code: str) -> None:
        self.until_the_plan(code)
        for words in AFTER_THE_PLAN:
            self.press(words)

    def to_the_result(self) -> None:
        for _ in range(40):
            if not self.page.query_selector("#number"):
                break
            name = self.page.inner_text("h1")
            self.tap(READINGS[name])
        self.press("Show the result")


class Reader:
    """Who uses a page by a screen reader: all that is known of it is Chromium's accessibility tree."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self._line = page.context.new_cdp_session(page)

    def nodes(self) -> list[dict[str, Any]]:
        """Return what a screen reader is given, in order."""
        found = self._line.send("Accessibility.getFullAXTree")["nodes"]
        return [node for node in found if not node.get("ignored")]

    def names(self, *roles: str) -> list[str]:
        """Return the names of everything in one of these roles."""
        return [_said(node, "name") for node in self.nodes() if _said(node, "role") in roles]

    def press(self, name: str, role: str = "button") -> None:
        """Do what a screen reader does on its key for a button, a link or a box."""
        [node] = [
            node for node in self.nodes()
            if (_said(node, "role"), _said(node, "name")) == (role, name)
        ]  # fmt: skip
        found = self._line.send("DOM.resolveNode", {"backendNodeId": node["backendDOMNodeId"]})
        self._line.send(
            "Runtime.callFunctionOn",
            {
                "objectId": found["object"]["objectId"],
                "functionDeclaration": "function(){this.click()}",
            },
        )

    def goes_on(self, name: str) -> str:
        """Press a button, wait for the next prompt, and return what is read out."""
        self.page.evaluate("document.body.dataset.before = 'yes'")
        self.press(name)
        self.page.wait_for_selector("body:not([data-before])")
        self.page.wait_for_timeout(150)  # what was said is told a moment later
        return self.announced()

    def announced(self) -> str:
        """Return what is read out when a page comes: live regions, and where the focus is."""
        nodes = self.nodes()
        aloud = [node for node in nodes if _said(node, "role") in ("status", "alert")]
        texts = [self._text_of(node, nodes) for node in aloud]
        focused = [
            node for node in nodes
            if any(x["name"] == "focused" and x["value"].get("value") for x in node["properties"])
            and _said(node, "role") != "RootWebArea"
        ]  # fmt: skip
        texts += [f"{_said(node, 'name')} {_said(node, 'description')}" for node in focused]
        return " ".join(" ".join(texts).split())

    def _text_of(self, node: dict[str, Any], nodes: list[dict[str, Any]]) -> str:
        below = {other["nodeId"]: other for other in nodes}
        inside = [below[key] for key in node.get("childIds", ()) if key in below]
        return " ".join([_said(node, "name"), *(self._text_of(child, nodes) for child in inside)])


def _said(node: dict[str, Any], what: str) -> str:
    return str(node.get(what, {}).get("value", "")).strip()


# --- what is wrong with a page ----------------------------------------------------------------

TARGET = 44  # px; WCAG 2.5.5
AXE_RULES = (
    "wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice",
)  # fmt: skip
# what runs out of the window, and what is too small for a finger
LOOK = """target => {
  const faults = [], edge = window.innerWidth;
  if (document.documentElement.scrollWidth > edge) faults.push("wider than the window");
  for (const one of document.querySelectorAll("a, button, select, summary, label.chip, input")) {
    const box = one.getBoundingClientRect(), style = getComputedStyle(one);
    if (box.width < 2 || style.visibility === "hidden" || style.clipPath !== "none") continue;
    if (one.matches("[type=checkbox], [type=radio]") && one.closest("label")) continue;
    if (one.matches("p a, li > a") && style.display === "inline") continue; // in a sentence
    if (box.height < target - 0.5 || box.width < target - 0.5)
      faults.push(`${one.tagName} ${(one.textContent || one.name).trim().slice(0, 30)}`
        + ` ${Math.round(box.width)} x ${Math.round(box.height)}`);
  }
  return faults;
}"""


def faults(page: Page) -> dict[str, list[str]]:
    """What is wrong with a page at each width, in light and dark, by axe and by our own look."""
    found: dict[str, list[str]] = {}
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 800})
        found[f"{width}"] = page.evaluate(LOOK, TARGET)
    # twice as large letters on a desk are as narrow as a tablet of half the width
    page.set_viewport_size({"width": 640, "height": 800})
    found["200 %"] = page.evaluate(LOOK, TARGET)
    page.set_viewport_size({"width": 360, "height": 740})
    for scheme in ("light", "dark"):
        # without motion: a colour that is still on its way has another contrast
        page.emulate_media(color_scheme=scheme, reduced_motion="reduce")  # type: ignore[arg-type]
        options = {"runOnly": list(AXE_RULES), "resultTypes": ["violations"], "selectors": False}
        answer = browser_pages.axe_answer(page, options)
        assert len(answer["passes"]) > 5, "axe has looked at next to nothing"
        found[f"axe {scheme}"] = [
            f"{violation['id']}: {node['html'][:90]}"
            for violation in answer["violations"]
            for node in violation["nodes"]
        ]
    page.emulate_media(color_scheme="light")
    return {where: faults for where, faults in found.items() if faults}


# --- what is measured --------------------------------------------------------------------------

# weight, height and waist: one line on preparation, one landmark
AFTER_THE_PLAN = ("Weight, height and waist", "Yes to all", "No", "Yes", "It is marked")
READINGS = {"Weight": "80.4", "Height": "179.5", "Waist (midpoint)": "86.5"}
FOLDS = READINGS | {
    "Chest (pectoral) skinfold": "12.5", "Abdominal skinfold": "22.5",
    "Front (anterior) thigh skinfold": "17.5",
}  # fmt: skip


# --- pictures ------------------------------------------------------------------------------------

# pages of a session in the order in which they come up; each at every width
PICTURED = ("today", "plan", "landmarks", "reading", "result", "why", "turned")
# those that stand in the docs, at a tablet's width
IN_DOCS = ("reading", "result")


def pictures(browser: Browser) -> Iterator[tuple[str, Page]]:
    """Yield a page of each kind, ready to be photographed, with its letters from one font file."""
    with tempfile.TemporaryDirectory() as folder, served(Path(folder) / "b.sqlite") as (address, _):
        page = page_in(browser, address, bypass_csp=True)
        session = Session(page)
        yield "today", page
        session.until_the_plan("K-014")
        yield "plan", page
        for words in ("Three skinfolds and the waist", "Yes to all", "No", "Yes to all"):
            session.press(words)
        session.type("ring")
        yield "landmarks", page
        session.press("All sites are marked")
        for reading in ("80.4", "179.5", "86.5"):
            session.tap(reading)
        page.fill("#number", "12.5")
        yield "reading", page
        for _ in range(12):
            if page.query_selector("#number"):
                session.type(FOLDS.get(page.inner_text("h1"), "15.5"))
        session.press("Show the result")
        yield "result", page
        led_on(page, lambda: page.click("text=Why the methods differ"))
        yield "why", page
        page.go_back()
        session.press("Turn the screen to the client")
        yield "turned", page
        page.context.close()


def place_of(name: str, width: int) -> str:
    """Return where the reference picture of a page lies, below ``references/``."""
    return f"at_{width}/{name}.png"


def photograph(page: Page, width: int) -> Image.Image:
    """Return a picture of the top of a page in colour."""
    page.set_viewport_size({"width": width, "height": 900})
    browser_pages.set_one_font(page, "* { caret-color: transparent !important; }")
    page.evaluate(browser_pages.SETTLED)
    return Image.open(io.BytesIO(page.screenshot(animations="disabled")))


def small(picture: Image.Image) -> Image.Image:
    """Return a picture as it is kept and compared: in grey, made small."""
    width = min(SCALE, picture.width)
    height = round(picture.height * width / picture.width)
    return picture.convert("L").resize((width, height), Image.LANCZOS)


def renew() -> None:
    """Draw every picture anew; look at each before it is kept."""
    with browser_pages.chromium() as browser:
        for name, page in pictures(browser):
            for width in WIDTHS:
                taken = photograph(page, width)
                kept = REFERENCES / place_of(name, width)
                kept.parent.mkdir(exist_ok=True)
                small(taken).save(kept, optimize=True)
                if name in IN_DOCS and width == 768:
                    colours = taken.convert("P", palette=Image.Palette.ADAPTIVE, colors=64)
                    colours.save(DOCS / f"browser_{name}.png", optimize=True)


if __name__ == "__main__" and sys.argv[1:] == ["renew"]:
    renew()
