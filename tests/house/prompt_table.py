"""Every prompt up to the first reading, for a new client and for one who comes back, from the code."""

from __future__ import annotations

import re
from collections.abc import Mapping

from foldspan.session.answers import LastVisit
from foldspan.session.parse_input import parse_line
from foldspan.session.parse_numbers import unit_at
from foldspan.session.state import State
from foldspan.session.to_visit import reported_before, visit_tree
from foldspan.text.measure import question
from foldspan.text.questions import page_lines

MARK = re.compile(r"<!-- prompts -->\n(.*?)\n<!-- end of prompts -->", re.DOTALL)
# An invented woman who tells all there is: what is typed, by the key of the prompt.
WOMAN: dict[str, str] = {
    "code": "K-203", "tester": "T-02", "sex": "f", "age_years": "41", "consent.store": "y",
    "page.women": "none", "eating_concern": "n", "symptoms": "joint pain", "conditions": "T2DM",
    "medicines": "none", "page.more": "pressure 128/82, weight 74 kg, 8 months ago",
    "plan": "seven",
    "page.consent": "no chest", "consent.witness": "n", "page.prepared": "y", "calliper": "ring",
    "page.marks": "", "page.who": "y", "still": "y, pressure 131/84", "pregnant": "n",
}  # fmt: skip
FACTS = {"repeat_rule": "2mm", "units": "metric", "blind": True, "day": "2026-03-04"}


def walk(
    typed: Mapping[str, str], last: LastVisit | None = None
) -> tuple[list[tuple[str, str]], State]:
    """Return what is asked up to the first reading with what is typed, and the session there."""
    state, rows = State(last=last).after("begun", FACTS), []
    while state.prompt.kind != "reading":
        prompt, line = state.prompt, typed[state.prompt.key]
        text = question(prompt, state.known, unit_at(state, prompt)).replace("|", "/")
        if prompt.kind in ("those", "permit", "still"):
            text = f"Page: {', '.join(word for word, _ in page_lines(prompt, state.known))}"
        elif prompt.kind == "sites":
            text = "Page: every site that needs a mark"
        rows.append((text, line))
        parsed = parse_line(state, line)
        assert parsed.event, (prompt.key, parsed.problem)
        state = state.after(parsed.event, parsed.body or {})
        assert len(rows) < 60
    return rows, state


def both() -> tuple[list[tuple[str, str]], list[tuple[str, str]]]:
    """Return the prompts of a first visit and of the next one, half a year on."""
    new, state = walk(WOMAN)
    answers = reported_before(visit_tree(state), 6.0) | {"plan": state.known.get("plan")}
    last = LastVisit({}, 26.0, answers, "female", 41.0, "2025-09-03")
    again, _ = walk(WOMAN, last)
    return new, again


def table() -> str:
    """Return both as tables."""
    parts = []
    for title, rows in zip(("A new client", "A client who comes back"), both(), strict=True):
        lines = [f"{title}, {len(rows)} prompts before the first reading:", "", "| | asked | typed |",
                 "|---|---|---|"]  # fmt: skip
        lines += [
            f"| {place} | {text} | {f'`{line}`' if line else 'Enter'} |"
            for place, (text, line) in enumerate(rows, start=1)
        ]
        parts.append("\n".join(lines))
    return "\n\n".join(parts)


if __name__ == "__main__":
    print(table())
