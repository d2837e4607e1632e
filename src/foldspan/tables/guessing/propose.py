"""Propose: for every column of a table what it is likely to hold, in which unit, and why.

A proposal is a proposal: nothing is used before somebody has seen it. Names are looked at first, in
five languages; the values then say whether they can be that, and in which unit, where the name tells
none. Where two readings are likely, none is proposed.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np
import pyarrow as pa

from foldspan.catalogue.card import Array
from foldspan.measurement.spans import MIXED_UP
from foldspan.numerics.converted import converted
from foldspan.quantities import BY_NAME, KILOGRAMS_PER, Quantity
from foldspan.tables.cells import TextRules, numbers_of
from foldspan.tables.column_names import (
    cores_of,
    expecting_name,
    near_fact,
    other_name,
    quantity_named,
    unit_anywhere,
    word_named,
)
from foldspan.tables.columns import FACTS, KNOWN, Wanted, meaning_of
from foldspan.tables.guessing.names import site_meant

# share of the values that must be plausible, and share below which another unit is no rival (ours)
MOST, FEW = 0.7, 0.3
# body mass index [kg/m²] that nearly everybody lies between (ours): tells kilograms from pounds
BMI_SPAN = (15.0, 50.0)
_BARE = TextRules()


@dataclass(frozen=True, slots=True)
class Proposal:
    """What one column is likely to hold."""

    given: str
    """The name in the table."""
    meant: str = ""
    """The name here, with the unit that the table's name tells; "" where nothing is proposed."""
    unit: str = ""
    """Unit of its bare numbers where only the values tell it, else ""."""
    reason: str = "unknown"
    """Why, or why not: a key of ``text.tables.guessing.REASONS``."""
    typical: float | None = None
    """The middle value of a column of numbers, in the unit of the table; None for other columns."""

    @property
    def is_open(self) -> bool:
        """Whether somebody has to say what it is: it looks needed, and more than one thing fits."""
        return not self.meant and self.reason in (
            "level",
            "suprailiac",
            "unit_open",
            "misfit",
            "twice",
        )


@dataclass(frozen=True, slots=True)
class Guess:
    """Proposals for the columns of a table, in their order."""

    proposals: tuple[Proposal, ...] = field(default=())

    @property
    def wanted(self) -> Wanted:
        """What would be said of the columns, if all that is proposed is right."""
        new = [
            proposal for proposal in self.proposals if proposal.meant and proposal.reason != "known"
        ]
        return Wanted(
            {proposal.given: proposal.meant for proposal in new},
            {proposal.given: proposal.unit for proposal in new if proposal.unit},
        )


def propose(names: Sequence[str], columns: Sequence[pa.Array], rules: TextRules = _BARE) -> Guess:
    """Return what the columns of a table are likely to hold.

    Parameters
    ----------
    names : sequence of str
        The names in the table.
    columns : sequence of arrays
        Some rows of each column, float64 or text; some hundred are enough.
    rules : TextRules
        How the texts of the table are meant.
    """
    meant = {name: _meant(name) for name in names}
    height = _height_of(meant, dict(zip(names, columns, strict=True)), rules)
    proposals = [
        _proposal(name, *meant[name], column, rules, height)
        for name, column in zip(names, columns, strict=True)
    ]
    return Guess(tuple(_without_rivals(proposals)))


def named_by(name: str) -> str:
    """Return the column here that a name alone is likely to mean, misspelt or not; "" for none."""
    meant, _ = _meant(name)
    if meant:
        return meant
    near = difflib.get_close_matches(name.strip().lower(), KNOWN, n=1, cutoff=0.85)
    return near[0] if near else ""


def _meant(name: str) -> tuple[str, str]:
    """The column here that a name means, and how that is known."""
    plain = "_".join(name.strip().lower().split())
    if plain in KNOWN or meaning_of(name) is not None:
        return name, "known"
    if found := expecting_name(name):
        return found, "form"
    if found := other_name(name):
        if found.startswith("waist_midpoint_"):
            return "", "level"
        return found, "form"
    for core, unit in cores_of(name):
        if core.startswith("suprailiac") or core.startswith("iliac"):
            return "", "suprailiac"
        if found := site_meant(core, unit):
            return _in_unit(found, unit), "form"
    if (quantity := quantity_named(plain)) is not None:
        return quantity.name, "form"
    if found := near_fact(name, FACTS, KNOWN):
        return found, "near"
    if found := word_named(name):
        return found, "form"
    return "", "unknown"


def _in_unit(name: str, unit: str) -> str:
    quantity = BY_NAME.get(name)
    if quantity is None or not unit or unit not in (quantity.unit, *MIXED_UP[quantity.unit]):
        return name
    return f"{quantity.short_name}_{unit}"


def _quantity(meant: str) -> Quantity | None:
    """The measurement that a proposed name is of, whatever its unit."""
    stem = meant.rpartition("_")[0]
    found = meaning_of(meant)
    name = found[0] if found is not None else next((n for n in BY_NAME if n == meant), "")
    return BY_NAME.get(name) or next(
        (quantity for quantity in BY_NAME.values() if quantity.short_name == stem), None
    )


def _proposal(
    name: str, meant: str, how: str, column: pa.Array, rules: TextRules, height: Array | None
) -> Proposal:
    if not meant or how == "known":
        return Proposal(name, meant, reason=how)
    quantity = _quantity(meant)
    if quantity is None or quantity.kind == "age":
        return Proposal(name, meant, reason=how)
    values = _values(column, quantity, rules)
    known = values[np.isfinite(values)]
    typical = float(np.median(known)) if known.size else None
    unit = unit_anywhere(name)
    if unit:
        is_likely = not known.size or _share(known, unit, quantity) >= FEW
        return Proposal(name, meant if is_likely else "", reason=how if is_likely else "misfit",
                        typical=typical)  # fmt: skip
    fitting = _unit_by_values(values, quantity, height)
    if not known.size or fitting is None:
        reason = "unit_open" if not known.size or fitting is None else how
        return Proposal(name, reason=reason, typical=typical)
    if not fitting:
        return Proposal(name, reason="misfit", typical=typical)
    return Proposal(name, quantity.name, fitting, "values", typical)


def _values(column: pa.Array, quantity: Quantity, rules: TextRules) -> Array:
    """The bare numbers of a column; a cell with its own unit tells nothing about the others."""
    read = numbers_of(column, quantity.unit, quantity.unit, rules)
    return read.values if read.own_unit is None else np.where(read.own_unit, np.nan, read.values)


def _share(values: Array, unit: str, quantity: Quantity) -> float:
    low, high = quantity.plausible(None)
    meant = converted(values, unit, quantity.unit)
    return float(np.mean((meant >= low) & (meant <= high)))


def _unit_by_values(values: Array, quantity: Quantity, height: Array | None) -> str | None:
    """The unit that the values can be in: "" where none fits, None where more than one does."""
    known = values[np.isfinite(values)]
    if not known.size:
        return None
    shares = {
        unit: _share(known, unit, quantity) for unit in (quantity.unit, *MIXED_UP[quantity.unit])
    }
    likely = [unit for unit, share in shares.items() if share >= MOST]
    rivals = [unit for unit, share in shares.items() if share > FEW]
    if not likely:
        return ""
    if len(rivals) == 1:
        return likely[0]
    return _by_body_mass_index(values, rivals, height) if quantity.name == "weight_kg" else None


def _by_body_mass_index(weight: Array, units: Sequence[str], height: Array | None) -> str | None:
    """The only unit of weight in which nearly everybody's body mass index can be."""
    if height is None:
        return None
    both = np.isfinite(weight) & np.isfinite(height)
    if not both.any():
        return None
    shares = {}
    for unit in (unit for unit in units if unit in KILOGRAMS_PER):
        index = weight[both] * KILOGRAMS_PER[unit] / (height[both] / 100.0) ** 2
        shares[unit] = float(np.mean((index >= BMI_SPAN[0]) & (index <= BMI_SPAN[1])))
    likely = [unit for unit, share in shares.items() if share >= MOST]
    rivals = [unit for unit, share in shares.items() if share > FEW]
    if len(rivals) == 1:
        return likely[0] if likely else ""
    return None


def _height_of(
    meant: Mapping[str, tuple[str, str]], columns: Mapping[str, pa.Array], rules: TextRules
) -> Array | None:
    """Heights [cm] of the rows, where one column tells them."""
    for name, (target, _) in meant.items():
        quantity = _quantity(target) if target else None
        if quantity is None or quantity.name != "height_cm":
            continue
        values = _values(columns[name], quantity, rules)
        found = meaning_of(target)
        unit = unit_anywhere(name) or (found[1] if found is not None and target == name else "")
        unit = unit or (_unit_by_values(values, quantity, None) or "")
        return converted(values, unit, "cm") if unit else None
    return None


def _without_rivals(proposals: Sequence[Proposal]) -> list[Proposal]:
    """Of two columns that would mean the same the one that is known stays, else neither."""
    taken: dict[str, list[Proposal]] = {}
    for proposal in proposals:
        if proposal.meant:
            taken.setdefault(_target(proposal.meant), []).append(proposal)
    found = []
    for proposal in proposals:
        same = taken.get(_target(proposal.meant), []) if proposal.meant else []
        if len(same) > 1 and proposal.reason != "known":
            found.append(Proposal(proposal.given, reason="twice", typical=proposal.typical))
        else:
            found.append(proposal)
    return found


def _target(meant: str) -> str:
    found = meaning_of(meant)
    return f"{found[0]} {found[2]}" if found is not None else meant
