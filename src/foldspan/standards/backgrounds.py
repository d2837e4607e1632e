"""Family backgrounds: self-described, optional, and asked only because a published rule uses them."""

from __future__ import annotations

BACKGROUNDS: tuple[str, ...] = (
    "white",
    "south_asian",
    "chinese",
    "japanese",
    "other_asian",
    "asian",
    "middle_eastern",
    "black_african",
    "african_caribbean",
    "african_american",
    "latin_american",
    "other",
)
# NICE (NG246, 2025): lower points for these. "asian" is Asian without saying which; all are named.
NICE_BACKGROUNDS = (
    "south_asian", "chinese", "japanese", "other_asian", "asian", "middle_eastern", "black_african",
    "african_caribbean",
)  # fmt: skip
ASIAN_BACKGROUNDS = ("south_asian", "chinese", "japanese", "other_asian", "asian")
BLACK_BACKGROUNDS = ("black_african", "african_caribbean", "african_american")
# What an ancestry that was stated for the equations says about family background; where it leaves a
# choice that a rule would need (black: African, African-Caribbean or African American), nothing.
BACKGROUND_OF_ANCESTRY = {"white": "white", "asian": "asian", "japanese": "japanese"}


def background_of(family_background: str, ancestry: str) -> str:
    """Return the family background to go by: the one stated, else what the ancestry says, or ""."""
    return family_background or BACKGROUND_OF_ANCESTRY.get(ancestry, "")
