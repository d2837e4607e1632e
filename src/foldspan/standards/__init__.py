"""Standards: published health bands as data, with their sources."""

from __future__ import annotations

from foldspan.standards import bmi, fat_percent, mass_indices, waist
from foldspan.standards.card import Standard

ALL_STANDARDS: tuple[Standard, ...] = (
    *bmi.STANDARDS,
    *waist.STANDARDS,
    *fat_percent.STANDARDS,
    *mass_indices.STANDARDS,
)
"""Every standard, in the order in which they are shown."""
STANDARD_BY_KEY = {standard.key: standard for standard in ALL_STANDARDS}
