"""Wording of what columns are likely to hold, and why."""

from __future__ import annotations

from collections.abc import Iterable

import pyarrow as pa

from foldspan.measurement.site_names import suprailiac_sites, waist_levels
from foldspan.tables.column_names import mapping
from foldspan.tables.guessing.propose import Guess, Proposal, named_by, propose

REASONS = {
    "known": "the name used here",
    "form": "by its name",
    "near": "by its name, a close match",
    "values": "by its name; only {unit} fits its values",
    "unknown": "not used",
    "level": "a waist: say at which level",
    "suprailiac": "a skinfold above the hip: say which",
    "unit_open": "its unit is not clear from its name or its values",
    "misfit": "its name says {target}, but its values do not fit",
    "twice": "two columns could be this: say which",
}
GUESSED = "Columns used by their likely meaning; please check:"
KEPT = "What each column means is saved in {path}: use it with --map-file next time."
OPEN = "For you to decide, with --map or --unit:"


def guess_lines(guess: Guess) -> list[tuple[str, str, str]]:
    """Return the columns that are used or should be, as name, meaning and reason."""
    return [
        (one.given, _meaning(one), _reason(one))
        for one in guess.proposals
        if one.meant and one.reason != "known"
    ]


def open_lines(guess: Guess, *, sites: bool = True) -> list[tuple[str, str]]:
    """Return the columns that somebody has to decide about, and why; ``sites`` of several levels too."""
    return [
        (one.given, _choice(one))
        for one in guess.proposals
        if one.is_open and (sites or one.reason not in ("level", "suprailiac"))
    ]


def why_proposed(one: Proposal) -> str:
    """Return why a column is used as proposed, or why somebody has to decide about it."""
    return (
        REASONS[one.reason].format(unit="", target="a measurement") if one.is_open else _reason(one)
    )


def what_to_call(names: Iterable[str]) -> list[str]:
    """Return, for columns that were not used, what each may be and how to say so."""
    lines = []
    for one in propose(tuple(names), [pa.array([], pa.string()) for _ in names]).proposals:
        near = one.meant or named_by(one.given)
        if one.reason == "level":
            choices = waist_levels("cm")[1]
            lines.append(f"{one.given} may be a waist at one of four levels: name it {choices}.")
        elif one.reason == "suprailiac":
            lines.append(
                f"{one.given} may be one of three skinfolds: {suprailiac_sites('_mm')[1]}."
            )
        elif near:
            said = mapping(one.given, near)
            lines.append(f"{one.given} may be {near}: rename it, or use {said}.")
    return lines


def _meaning(one: Proposal) -> str:
    return (
        f"{one.meant} (in {one.unit})"
        if one.unit and not one.meant.endswith(one.unit)
        else one.meant
    )


def _reason(one: Proposal) -> str:
    words = REASONS[one.reason].format(unit=one.unit, target="")
    return f"{words}; typical value {one.typical:.4g}" if one.typical is not None else words


def _choice(one: Proposal) -> str:
    words = REASONS[one.reason].format(unit="", target="a measurement")
    if one.reason == "level":
        return f"{words}: {waist_levels('cm')[1]}"
    if one.reason == "suprailiac":
        return f"{words}: {suprailiac_sites('_mm')[1]}"
    return words
