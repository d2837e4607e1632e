"""The page on measuring shows a session that really ran, and every site with its status."""

from __future__ import annotations

from pathlib import Path

import prompt_table
from session_transcript import MARK, transcript

from foldspan.followup.comparability import BREAKS
from foldspan.protocol.plans import CANNOT, PLANS
from foldspan.protocol.repeat_rules import RULES
from foldspan.protocol.site_guide import GUIDES, OTHERS
from foldspan.quantities import BY_NAME
from foldspan.session.parse_input import COMMANDS

CHANGE_PAGE = (Path(__file__).parents[2] / "docs" / "change.md").read_text(encoding="utf-8")
PAGE = (Path(__file__).parents[2] / "docs" / "measuring.md").read_text(encoding="utf-8")


def test_the_session_on_the_page_is_what_a_terminal_shows() -> None:
    (printed,) = MARK.findall(PAGE)
    assert transcript() == printed


def test_every_site_stands_on_the_page_with_its_variant_and_status() -> None:
    rows = [line for line in PAGE.splitlines() if line.startswith("| `")]
    for guide in (*GUIDES, *OTHERS):
        begins = f"| `{BY_NAME[guide.name].short_name}` | {guide.variant or '-'} |"
        assert any(
            row.startswith(begins) and guide.where in row and row.endswith(f"| {guide.status} |")
            for row in rows
        ), guide.name


def test_every_command_plan_rule_and_reason_stands_on_the_page() -> None:
    words = [*COMMANDS, *CANNOT, *(f"`{plan.key}`" for plan in PLANS)]
    words += [f"| `{rule.key}`" for rule in RULES]
    assert [line for line in words if line not in PAGE] == []


def test_every_break_of_a_comparison_stands_on_the_page() -> None:
    assert [code for code in BREAKS if f"| {code} |" not in CHANGE_PAGE] == []


def test_the_tables_of_prompts_on_the_page_are_those_of_the_code() -> None:
    """At most 20 for a new client, at most 12 for one who comes back (asked for by trainers)."""
    (printed,) = prompt_table.MARK.findall(PAGE)
    assert prompt_table.table() == printed
    new, again = prompt_table.both()
    assert len(new) <= 20
    assert len(again) <= 12
