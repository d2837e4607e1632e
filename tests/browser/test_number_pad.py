"""A number pad alone is enough for a whole session."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Browser

from browser_touch import AFTER_THE_PLAN, READINGS, Session, page_in, served


def test_a_whole_session_by_a_number_pad_alone(browser: Browser, tmp_path: Path) -> None:
    """Digits, the decimal point and Enter: from the first page to the result."""
    with served(tmp_path / "b.sqlite") as (address, _):
        page = page_in(browser, address)
        session = Session(page)

        def digits(text: str) -> None:
            for sign in text:
                page.keyboard.press(sign)

        def take(words: str) -> None:
            digits("0")  # shows the numbers, and is no choice
            page.keyboard.press("Backspace")
            found = page.evaluate(
                """words => [...document.querySelectorAll("[data-nth]")]
                   .find(one => one.textContent.trim() === words)?.dataset.nth""",
                words,
            )
            assert found, f"{words} has no number"
            digits(found)
            assert words in page.inner_text("body > .unseen[role=status]")
            session.settled(lambda: page.keyboard.press("Enter"))

        def enter(text: str) -> None:
            digits(text)
            session.settled(lambda: page.keyboard.press("Enter"))

        take("Start a session")
        enter("107")
        enter("")  # the tester's code is skipped
        take("Male")
        enter("34")
        for words in ("Yes", "No", *4 * ("None of these",), *AFTER_THE_PLAN[:-1]):
            take(words)
        enter("")  # it is marked, no distance is typed
        for _ in range(40):
            if not page.query_selector("#number"):
                break
            enter(READINGS[page.inner_text("h1")])
        enter("")  # the button that shows the result has the focus
        assert "Body fat:" in page.inner_text("main")
        page.context.close()
