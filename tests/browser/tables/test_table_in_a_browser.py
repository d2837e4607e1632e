"""Tables as Chromium shows them: dropped, watched, at every width, with and without scripts."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from browser_hand import EXAMPLES
from browser_touch import faults, led_on, page_in, press, served
from foldspan.text.tables.on_page import progress_words

DROP = """async ([place, name, text]) => {
  const data = new DataTransfer();
  data.items.add(new File([text], name));
  document.querySelector(place).dispatchEvent(new DragEvent("drop", { dataTransfer: data }));
}"""
LINES = "sex,age_years,weight_kg,height_cm,symptoms\n"
ROWS = LINES + "female,41,71.3,168,fainting\nmale,52,91,178,none\nfemale,17,60,170,none\n"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with served(tmp_path_factory.mktemp("book") / "b.sqlite") as (address, _):
        yield address


def _open_tables(page: Page) -> None:
    led_on(page, lambda: page.click("text=Screen a table"))


def test_every_page_of_a_table_at_every_width_in_light_and_dark(
    browser: Browser, address: str
) -> None:
    page = page_in(browser, address, bypass_csp=True)
    _open_tables(page)
    found = {"send": faults(page)}
    page.set_input_files("[type=file]", EXAMPLES / "health_day.xlsx")
    press(page, "Next: check the columns")
    page.wait_for_selector("h1:has-text('Are these columns right?')")
    found["columns"] = faults(page)
    press(page, "Confirm the columns and screen")
    page.wait_for_selector("#problem")  # a waist at no level
    found["columns refused"] = faults(page)
    page.select_option("fieldset.open select", "waist_midpoint_cm")
    press(page, "Confirm the columns and screen")
    page.wait_for_selector("h1:has-text('48 rows screened')")
    for fold in page.locator("details").all():
        fold.evaluate("one => one.open = true")
    found["result"] = faults(page)
    base = page.url
    for name in ("referrals", "problems", "before", "rows/12"):
        page.goto(f"{base}/{name}")
        found[name] = faults(page)
    assert {where: faults for where, faults in found.items() if faults} == {}
    page.context.close()


def test_a_table_is_dropped_and_its_progress_seen(
    browser: Browser, address: str, tmp_path: Path
) -> None:
    page = page_in(browser, address)
    _open_tables(page)
    page.evaluate(DROP, [".drop", "day.csv", ROWS])
    press(page, "Next: check the columns")
    page.wait_for_selector("h1:has-text('Are these columns right?')")
    # what a larger table would tell meanwhile
    half = {"is_at_work": True, "share": 0.5, "progress": progress_words(120_000, 0.5, 2.6)}
    page.route("**/now", lambda route: route.fulfill(json=half))
    press(page, "Confirm the columns and screen")
    page.wait_for_selector("text=120,000 rows, 50%; about 3 seconds left")
    assert page.eval_on_selector("progress", "one => one.value") == 0.5
    page.unroute("**/now")
    page.wait_for_selector("h1:has-text('3 rows screened')")
    with page.expect_download() as taken:
        page.click("text=Your table with the results")
    assert taken.value.suggested_filename == "screened.csv"
    assert Path(taken.value.path()).read_text().count("\n") == 4
    page.context.close()


def test_a_table_is_screened_without_scripts(browser: Browser, address: str) -> None:
    page = page_in(browser, address, java_script_enabled=False)
    _open_tables(page)
    page.set_input_files(
        "[type=file]", {"name": "day.csv", "mimeType": "text/csv", "buffer": ROWS.encode()}
    )
    press(page, "Next: check the columns")
    page.wait_for_selector("h1:has-text('Are these columns right?')")
    press(page, "Confirm the columns and screen")
    page.wait_for_selector("h1:has-text('3 rows screened')")
    assert "1 to refer urgently" in page.inner_text("main")
    led_on(page, lambda: page.click("text=Problems, row by row"))
    assert "Under 18: no adult range" in page.inner_text("main")
    page.go_back()
    led_on(page, lambda: press(page, "Delete this table"))
    assert "day.csv" not in page.inner_text("main")
    page.context.close()


def test_a_file_that_is_too_large_is_told_before_it_is_sent(browser: Browser, address: str) -> None:
    page = page_in(browser, address)
    _open_tables(page)
    page.eval_on_selector("[type=file]", "one => one.dataset.largest = 10")
    page.evaluate(DROP, [".drop", "day.csv", ROWS])
    press(page, "Next: check the columns")
    page.wait_for_selector("text=This file is larger than 200 MB.")
    page.context.close()
