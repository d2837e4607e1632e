"""One visit, one advice: what to measure again is told alike to everybody; what was moved is marked."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import pytest

import example_visits
import foldspan
from foldspan.catalogue import EQUATIONS
from foldspan.wording import MEASURE_AGAIN
from page_reading import read_html

Run = Callable[..., tuple[int, str, str]]


@pytest.mark.parametrize("path", example_visits.SOUND, ids=lambda path: path.stem)
def test_measuring_again_is_advised_to_all_or_to_nobody(path: Path, run: Run) -> None:
    """Where methods disagree: no "would not narrow", no "in 8 weeks" beside "measure again"."""
    again = ["--accept-unusual"]
    tree = json.loads(run("explain", str(path), "--json", *again)[1])
    is_again = tree.get("measure_all_again", False)
    page = " ".join(run("explain", str(path), *again)[1].split())
    result = " ".join(run("reconcile", str(path), *again)[1].split())
    assert ("Measure again before you rely on it" in result) == is_again
    assert (MEASURE_AGAIN in page) == is_again
    assert not (is_again and "No repeat of a site would narrow" in page)
    visit = foldspan.Visit.from_file(str(path), accept_unusual=True)
    for reader, words in (("trainer", MEASURE_AGAIN), ("client", "measured once more, soon")):
        report = foldspan.report(visit, reader=reader)
        told = " ".join(read_html(report).words)
        if reader == "client" and (
            report.hides_numbers or "doctor" in told.split("Next steps")[-1]
        ):
            continue
        assert (words in told) == is_again
        assert not (is_again and "weeks or later" in told)


def test_some_example_disagrees() -> None:
    visit = foldspan.Visit.from_file("examples/disagreement.toml", accept_unusual=True)
    assert foldspan.reconcile(visit).verdict == "disagree"


@pytest.mark.parametrize(("scale", "points"), [("density", -3.0), ("dxa", 3.0)])
def test_what_was_moved_to_another_scale_is_marked_on_its_row(
    scale: str, points: float, run: Run
) -> None:
    """3 points lie between the scales (docs/method.md); a mark for each equation built on the other."""
    _, out, _ = run("reconcile", "examples/visit.toml", "--all", "--scale", scale)
    lines = out.splitlines()
    built_on = {card.key: card.scale for card in EQUATIONS}
    rows = [
        (place, key)
        for place, line in enumerate(lines)
        for key in line.replace("*", " ").split()[:1]
        if key in built_on and "%" in line
    ]
    assert {built_on[key] for _, key in rows} == {"density", "dxa"}
    ends = [place for place, _ in rows[1:]] + [len(lines)]
    for (place, key), end in zip(rows, ends, strict=True):
        below = " ".join(line.strip() for line in lines[place + 1 : end] if line.startswith("    "))
        assert (f"moved by {points:+.1f} points" in below) == (built_on[key] != scale)
