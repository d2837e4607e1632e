"""The pages of the equations as Chromium shows them: widths, contrast, keys alone, no scripts, paper."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from browser_touch import Reader, faults, led_on, page_in, served

CARDS = (
    "durnin_womersley1974_female_4site", "gallagher2000_both_bmi_ancestry",
    "slaughter1988_female_tri_sub", "tran_weltman1989_female_girths", "weltman1987_male_obese",
)  # fmt: skip


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with served(tmp_path_factory.mktemp("book") / "b.sqlite") as (address, _):
        yield address


def type_in(page: Page, **numbers: str) -> None:
    for name, text in numbers.items():
        page.fill(f"[name={name}]", text)


def test_every_page_at_every_width_in_light_and_dark(browser: Browser, address: str) -> None:
    page, found = page_in(browser, address, bypass_csp=True), {}
    base = address.partition("/enter")[0]
    led_on(page, lambda: page.click("text=Equations"))
    found["list"] = faults(page)
    page.goto(f"{base}/equations?words=zzzz")
    found["nothing found"] = faults(page)
    page.goto(f"{base}/equations/none")
    found["unknown"] = faults(page)
    for key in CARDS:
        page.goto(f"{base}/equations/{key}")
        page.evaluate("document.querySelectorAll('details').forEach((one) => one.open = true)")
        found[key] = faults(page)
    page.context.close()
    assert {name: faults for name, faults in found.items() if faults} == {}


def test_a_value_and_a_refusal_at_every_width(browser: Browser, address: str) -> None:
    page, found = page_in(browser, address, bypass_csp=True), {}
    page.goto(f"{address.partition('/enter')[0]}/equations/deurenberg1991_both_bmi")
    for name, weight in (("value", "81"), ("asked back", "200"), ("refused", "heavy")):
        page.select_option("[name=sex]", "male")
        type_in(page, age_years="40", weight_kg=weight, height_cm="180")
        page.evaluate("document.body.dataset.before = 'yes'")
        page.keyboard.press("Enter")
        page.wait_for_selector("body:not([data-before])")
        found[name] = faults(page)
        announced = Reader(page).announced()
        assert ("23.0%" in announced) == (name == "value"), announced
        assert ("Weight:" in announced) == (name != "value"), announced
    page.context.close()
    assert {name: faults for name, faults in found.items() if faults} == {}


def test_search_and_value_without_scripts_by_keys_alone(browser: Browser, address: str) -> None:
    page = page_in(browser, address, java_script_enabled=False)
    led_on(page, lambda: page.click("text=Equations"))
    page.focus("[name=words]")
    page.fill("[name=words]", "deurenberg1991_both")
    led_on(page, lambda: page.keyboard.press("Enter"))
    assert "1 equation" in page.inner_text("main")
    page.locator(".equations a").first.focus()
    led_on(page, lambda: page.keyboard.press("Enter"))
    page.select_option("[name=sex]", "female")
    type_in(page, age_years="40", weight_kg="81", height_cm="180")
    led_on(page, lambda: page.press("[name=height_cm]", "Enter"))
    assert "Body fat as published: 33.8%" in page.inner_text("main")
    assert "81" not in page.url
    page.context.close()


def test_a_card_on_paper_is_the_card_alone(browser: Browser, address: str) -> None:
    page = page_in(browser, address)
    page.goto(f"{address.partition('/enter')[0]}/equations/{CARDS[0]}")
    page.emulate_media(media="print")
    said = page.inner_text("body")
    for words in ("log₁₀(folds)", "1.1549", "Br J Nutr 1974", "Age 16 to 68 years"):
        assert words in said
    for words in ("Calculate", "All equations", "Where to measure"):
        assert words not in said
    page.context.close()
