"""The pages of ``foldspan serve`` as Chromium shows them: widths, contrast, touch, keys, no scripts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

import browser_pages
import browser_touch
from browser_hand import hand_at
from browser_touch import (
    AFTER_THE_PLAN,
    READINGS,
    WIDTHS,
    Reader,
    Session,
    faults,
    led_on,
    page_in,
    press,
    served,
)
from measure_driver import MAN

WOMAN = {"sex": "female", "periods_stopped": "n", "birth_months_ago": "none", "plan": "seven"}


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with served(tmp_path_factory.mktemp("book") / "b.sqlite") as (address, _):
        yield address


def test_every_page_at_every_width_in_light_and_dark(browser: Browser, address: str) -> None:
    """44 px targets, nothing beyond the edge, nothing that axe holds against it."""
    page = page_in(browser, address, bypass_csp=True)
    session, found = Session(page), {}
    found["today"] = faults(page)
    session.press("Start a session")
    found["a word"] = faults(page)
    session.type("K-101")
    session.press("Skip")
    found["a choice"] = faults(page)
    session.press("Male")
    session.type("34")
    found["consent to keep"] = faults(page)
    session.press("Yes")
    session.press("No")
    found["words"] = faults(page)
    for _ in range(3):
        session.press("None of these")
    found["lines"] = faults(page)
    session.press("None of these")
    found["plans"] = faults(page)
    session.press("Three skinfolds and the waist")
    found["permissions"] = faults(page)
    session.press("Yes to all")
    session.press("No")
    session.press("Yes to all")
    session.type("own")
    found["landmarks"] = faults(page)
    session.press("All sites are marked")
    found["a reading"] = faults(page)
    session.tap("804")
    found["refused"] = faults(page)
    page.goto(address)
    session.until_the_readings("K-102")
    session.to_the_result()
    found["result"] = faults(page)
    led_on(page, lambda: page.click("text=Why the methods differ"))
    found["why"] = faults(page)
    page.go_back()
    led_on(page, lambda: page.click("text=Client record"))
    found["client"] = faults(page)
    led_on(page, lambda: page.click("text=Delete this client"))
    found["erase"] = faults(page)
    for name in ("precision", "devices", "clients", "nowhere"):
        page.goto(f"{address.partition('/enter')[0]}/{name}")
        found[name] = faults(page)
    page.goto(f"{address.partition('/enter')[0]}/session/v2/result")
    session.press("Turn the screen to the client")
    found["turned round"] = faults(page)
    page.context.close()
    assert {name: faults for name, faults in found.items() if faults} == {}


def test_a_whole_session_by_touch_alone(browser: Browser, address: str) -> None:
    page = page_in(browser, address, has_touch=True, is_mobile=True)
    session = Session(page)
    session.until_the_readings("K-103")
    session.to_the_result()
    assert "Body fat:" in page.inner_text("main")
    page.context.close()


def test_a_whole_session_by_keys_alone(browser: Browser, address: str) -> None:
    """A number pad is enough at the readings, and Tab with Enter or Space everywhere else."""
    page = page_in(browser, address)
    session = Session(page)
    session.until_the_plan("K-104")

    def reach(words: str) -> None:
        for _ in range(80):
            page.keyboard.press("Tab")
            if words == str(page.evaluate("document.activeElement.textContent")).strip():
                return
        raise AssertionError(f"{words} is not reached")

    for words in AFTER_THE_PLAN:
        reach(words)
        session.settled(lambda: page.keyboard.press("Enter"))
    for _ in range(40):
        if not page.query_selector("#number"):
            break
        session.keys(READINGS[page.inner_text("h1")])
    session.settled(lambda: page.keyboard.press("Enter"))
    assert "Body fat:" in page.inner_text("main")
    page.context.close()


# what is tapped for a client of whom everything is as it was: no key of a keyboard is needed
UNCHANGED = (
    "Nothing has changed", "Yes", "Nothing has changed", *4 * ("None of these",), "Yes to all", "No",
    "Yes to all",
)  # fmt: skip
COUNTED = """for (const kind of ["click", "keydown"]) addEventListener(kind, (event) => {
  if (kind === "keydown" || event.detail > 0) sessionStorage.taps = Number(sessionStorage.taps || 0) + 1;
}, true);"""


@pytest.mark.parametrize("is_woman", [False, True])
def test_a_known_client_is_at_the_first_landmark_in_twelve_taps(
    browser: Browser, tmp_path: Path, *, is_woman: bool
) -> None:
    """Before, the code had to be typed; it is one tap on Today now."""
    book, more = tmp_path / "b.sqlite", WOMAN if is_woman else {}
    with hand_at(book) as hand:
        hand.begin()
        hand.walk(MAN | more)
    with served(book) as (address, _):
        page = page_in(browser, address, has_touch=True, is_mobile=True)
        session = Session(page)
        session.press("Start a session")
        session.type("K-100")
        session.type("T-05")  # said once, this device remembers it
        page.add_init_script(COUNTED)
        page.goto(address)
        session.tap_on("Measure K-041 again")
        for words in UNCHANGED[:3]:
            session.tap_on(words)
        if is_woman:
            session.tap_on("No")  # pregnant: asked every time
        for words in UNCHANGED[3:]:
            session.tap_on(words)
        assert page.inner_text("h1") == "Find and mark every site"
        assert 10 < int(page.evaluate("sessionStorage.taps")) <= 12
        page.context.close()


CONTROLS = (
    "button", "link", "textbox", "checkbox", "radio", "combobox", "image", "progressbar",
    "DisclosureTriangle", "heading",
)  # fmt: skip


def test_a_whole_session_by_screen_reader_alone(browser: Browser, address: str) -> None:
    """By roles and names of the accessibility tree; what is asked is read out each time."""
    page = page_in(browser, address)
    reader = Reader(page)

    def goes_on(words: str) -> str:
        announced = reader.goes_on(words)
        assert all(reader.names(*CONTROLS)), words
        assert page.inner_text("h1") in announced, (words, announced)
        return announced

    def types(text: str) -> str:
        page.keyboard.insert_text(text)  # where the focus is
        return goes_on("Enter" if "Enter" in reader.names("button") else "Continue")

    page.wait_for_selector("h1")
    assert "Today" in reader.names("heading")
    assert "such as K-014" in goes_on("Start a session")
    assert "K-115: a new code." in types("K-115")
    for words in ("Skip", "Male"):
        goes_on(words)
    types("34")
    for words in ("Yes", "No", *4 * ("None of these",), *AFTER_THE_PLAN[:-1]):
        goes_on(words)
    announced = goes_on(AFTER_THE_PLAN[-1])
    assert "1 of 6" in announced
    refused = types("804")
    assert "Outside the possible range" in refused
    [field] = [node for node in reader.nodes() if node["role"]["value"] == "textbox"][:1]
    assert "Outside the possible range" in field["description"]["value"]
    state = {item["name"]: item["value"].get("value") for item in field["properties"]}
    assert state["invalid"] == "true"
    goes_on("80.4 kg?")
    for _ in range(40):
        if "Enter" not in reader.names("button"):
            break
        types(READINGS[reader.names("heading")[0]])
    assert reader.announced().startswith("Show the result All sites are done.")
    goes_on("Show the result")
    [picture] = [name for name in reader.names("image") if name]
    assert picture.startswith("What each method gives, with its own range")
    texts = " ".join(reader.names("StaticText"))
    assert "Body fat:" in texts
    # figures are one picture with a name each: no line of them is read out by itself
    assert not [name for name in reader.names("SvgRoot", "GraphicsSymbol", "path") if not name]
    goes_on("Turn the screen to the client")
    reader.press("Back to the trainer")
    reader.press("I am the trainer", "checkbox")
    goes_on("Back to the trainer")
    assert page.url.endswith("/result")
    page.context.close()


def test_a_whole_session_without_scripts(browser: Browser, address: str) -> None:
    page = page_in(browser, address, java_script_enabled=False)

    def go(words: str) -> None:
        led_on(page, lambda: press(page, words))

    def type_in(text: str) -> None:
        page.fill("[name=typed]", text)
        led_on(page, lambda: page.press("[name=typed]", "Enter"))

    go("Start a session")
    type_in("K-105")
    go("Skip")
    go("Male")
    type_in("34")
    for words in ("Yes", "No", *4 * ("None of these",), *AFTER_THE_PLAN):
        go(words)
    for _ in range(40):
        if not page.query_selector("#number"):
            break
        type_in(READINGS[page.inner_text("h1")])
    go("Show the result")
    assert "Body fat:" in page.inner_text("main")
    page.context.close()


def test_what_was_typed_while_the_network_was_away_is_sent_once(
    browser: Browser, tmp_path: Path
) -> None:
    with served(tmp_path / "b.sqlite") as (address, desk):
        page = page_in(browser, address)
        session = Session(page)
        session.until_the_readings("K-106")
        page.context.set_offline(True)
        page.keyboard.type("80.4")
        page.keyboard.press("Enter")
        page.wait_for_selector("#away")
        page.evaluate("document.body.dataset.before = 'yes'")
        page.context.set_offline(False)
        page.wait_for_selector("body:not([data-before])")
        assert page.inner_text("h1") == "Height"
        events = desk._sessions["v1"].events
        assert [
            body["value"]["typed"] for kind, body in events if body.get("key") == "1.weight_kg"
        ] == ["80.4"]
        page.context.close()


def test_the_button_that_locks_shows_that_it_did(browser: Browser, tmp_path: Path) -> None:
    """Before, the page stayed and locked the device again and again, whenever it was unlocked."""
    with served(tmp_path / "b.sqlite") as (address, _):
        page = page_in(browser, address)
        page.goto(f"{address.partition('/enter')[0]}/devices")
        led_on(page, lambda: press(page, "Lock this device"))
        assert page.inner_text("h1") == "Locked"
        page.fill("[name=pin]", "0000")
        announced = Reader(page).goes_on("Unlock")
        assert page.inner_text("h1") == "Today", announced
        page.wait_for_timeout(2_500)  # longer than something that could not be sent waits
        page.goto(address.partition("/enter")[0])
        assert page.inner_text("h1") == "Today"
        page.context.close()


def test_where_a_device_is_paired_and_unlocked(browser: Browser, tmp_path: Path) -> None:
    """By eye and by screen reader; before, a hint in a field was too faint in the dark."""
    with served(tmp_path / "b.sqlite") as (address, desk):
        desk.is_on_network, desk.address = True, address.partition("/enter")[0]
        page = page_in(browser, f"{desk.address}/pair", bypass_csp=True)
        reader = Reader(page)

        def is_sound() -> None:
            assert faults(page) == {}
            assert all(reader.names(*CONTROLS))

        is_sound()
        page.emulate_media(color_scheme="dark")
        hint = "getComputedStyle(document.querySelector('[name=name]'), '::placeholder').color"
        assert page.evaluate(hint) == "rgb(179, 190, 197)"
        page.fill("[name=code]", "AAAA 1111")
        announced = reader.goes_on("Pair")
        # the field is read out with what is wrong with it; before, the title of the page was
        assert "Code (eight characters) This code is wrong or has expired." in announced
        is_sound()
        page.fill("[name=code]", desk.pairing.new_code())
        reader.goes_on("Pair")
        page.goto(f"{desk.address}/devices")
        is_sound()
        led_on(page, lambda: press(page, "Lock this device"))
        is_sound()
        page.fill("[name=pin]", "AAAA 1111")
        assert "on the computer that runs foldspan That is not correct." in reader.goes_on("Unlock")
        is_sound()
        page.context.close()


VOICE = """globalThis.heard = [];
const voice = {localService: true, lang: "en-GB"};
Object.defineProperty(window, "speechSynthesis", {value:
  {getVoices: () => [voice], cancel() {}, speak: (one) => heard.push(one.text)}});
globalThis.SpeechSynthesisUtterance = function (text) { this.text = text };"""


def test_the_voice_says_the_number_and_the_next_site_and_nothing_of_another_client(
    browser: Browser, address: str
) -> None:
    page = page_in(browser, address)
    page.add_init_script(VOICE)
    page.goto(address)
    session = Session(page)
    session.until_the_readings("K-116")
    session.keys("80.4")
    assert page.evaluate("[heard, {...sessionStorage}]") == [[], {}]  # off until it is switched on
    page.get_by_text("Say sites aloud").click()
    page.focus("#number")
    session.keys("179.5")
    assert page.evaluate("heard") == ["Height", "179.5. Waist (midpoint)"]
    for _ in range(4):
        session.keys(READINGS[page.inner_text("h1")])
    assert (
        page.evaluate("({...sessionStorage})") == {}
    )  # the last number waits for no other session
    page.context.close()


def test_the_pages_look_as_they_did(browser: Browser) -> None:
    """Against pictures that were looked at; ``python tests/browser_touch.py renew`` draws them anew."""
    other = []
    for name, page in browser_touch.pictures(browser):
        for width in WIDTHS:
            kept = browser_touch.place_of(name, width).removesuffix(".png")
            now = browser_touch.small(browser_touch.photograph(page, width))
            if not browser_pages.is_alike(browser_pages.kept_picture(kept), now):
                other.append(f"{name} at {width}")
    assert other == []
