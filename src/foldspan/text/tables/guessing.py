"""Wording of what columns are likely to hold, and why."""

from __future__ import annotations

from collections.abc import Iterable

import pyarrow as pa

from foldspan.measurement.site_names import suprailiac_sites, waist_levels
from foldspan.tables.column_names import mapping
from foldspan.tables.guessing.propose import Guess, Proposal, named_by, propose

REASONS = {
    "known": "foldspan's own column name",
    "form": "recognised from the column name",
    "near": "the column name is a close match",
    "values": "recognised from the column name; {unit} is the only unit that fits the values",
    "unknown": "not used",
    "level": "waist girth, level not stated; choose the level that was measured",
    "suprailiac": "skinfold above the hip, site not stated; choose the site that was measured",
    "unit_open": "the unit is not clear from the column name or the values; choose it",
    "misfit": "the column name suggests {target}, but the values do not fit it; choose what it holds",
    "twice": "another column could hold the same; choose which one to use",
}
GUESSED = "What these columns were guessed to hold; please check:"
KEPT = "What each column means is saved in {path}: use it with --map-file next time."
OPEN = "Not clear; please decide with --map or --unit:"


def guess_lines(guess: Guess) -> list[tuple[str, str, str]]:
    """Return the columns that are used or should be, as name, meaning and reason."""
    return [
        (proposal.given, _meaning(proposal), _reason(proposal))
        for proposal in guess.proposals
        if proposal.meant and proposal.reason != "known"
    ]


def open_lines(guess: Guess, *, sites: bool = True) -> list[tuple[str, str]]:
    """Return the columns that somebody has to decide about, and why; ``sites`` of several levels too."""
    return [
        (proposal.given, _choice(proposal))
        for proposal in guess.proposals
        if proposal.is_open and (sites or proposal.reason not in ("level", "suprailiac"))
    ]


def why_proposed(proposal: Proposal) -> str:
    """Return why a column is used as proposed, or why somebody has to decide about it."""
    return (
        REASONS[proposal.reason].format(unit="", target="a measurement")
        if proposal.is_open
        else _reason(proposal)
    )


def what_to_call(names: Iterable[str]) -> list[str]:
    """Return, for columns that were not used, what each may be and how to say so."""
    lines = []
    for proposal in propose(tuple(names), [pa.array([], pa.string()) for _ in names]).proposals:
        near = proposal.meant or named_by(proposal.given)
        if proposal.reason == "level":
            choices = waist_levels("cm")[1]
            lines.append(
                f"{proposal.given} may be a waist at one of four levels: name it {choices}."
            )
        elif proposal.reason == "suprailiac":
            lines.append(
                f"{proposal.given} may be one of three skinfolds: {suprailiac_sites('_mm')[1]}."
            )
        elif near:
            said = mapping(proposal.given, near)
            lines.append(f"{proposal.given} may be {near}: rename it, or use {said}.")
    return lines


def _meaning(proposal: Proposal) -> str:
    return (
        f"{proposal.meant} (in {proposal.unit})"
        if proposal.unit and not proposal.meant.endswith(proposal.unit)
        else proposal.meant
    )


def _reason(proposal: Proposal) -> str:
    words = REASONS[proposal.reason].format(unit=proposal.unit, target="")
    return (
        f"{words}; typical value {proposal.typical:.4g}" if proposal.typical is not None else words
    )


def _choice(proposal: Proposal) -> str:
    words = REASONS[proposal.reason].format(unit="", target="a measurement")
    if proposal.reason == "level":
        return f"{words}: {waist_levels('cm')[1]}"
    if proposal.reason == "suprailiac":
        return f"{words}: {suprailiac_sites('_mm')[1]}"
    return words
