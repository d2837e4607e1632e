"""Wording of cards: names of equations, their symbols, and how well each is known."""

from __future__ import annotations

import re
from collections.abc import Mapping

from foldspan.catalogue.card import Bmi, Checked, Conversion, Equation, Input, Source, Status, Sum
from foldspan.display_units import signed
from foldspan.quantities import BY_NAME

PREDICTS = {
    "density": "body density [g/cm³]",
    "fat_percent": "body fat [%]",
    "fat_mass": "fat mass [kg]",
    "fat_free_mass": "fat-free mass [kg]",
    "adipose_mass": "adipose tissue [kg]",
}
SE_UNITS = {"density": "g/cm³", "fat_percent": "percentage points of fat", "mass": "kg"}
WHO = {"female": "women", "male": "men"}
WHO_BOTH = WHO | {"both": "women and men"}
WHO_YOUNG = {"female": "girls", "male": "boys", "both": "girls and boys"}
# how a card gets from what its formula gives to body fat [%]
THEN = {
    "fat_mass": "body fat [%] = 100 × fat mass ÷ weight",
    "fat_free_mass": "body fat [%] = 100 × (weight \N{MINUS SIGN} fat-free mass) ÷ weight",
    "adipose_mass": "body fat [%] = 100 × 0.80 × adipose tissue ÷ weight",
}
DIGITS_SHORT: dict[Status, str] = {
    "verified": "read in the publication",
    "read in a secondary text": "quoted in another text",
    "not verified in print": "not verified in print",
    "disputed": "disputed",
}
DIGITS: dict[Status, str] = {
    "verified": "Its coefficients were read in the publication itself.",
    "read in a secondary text": (
        "Its coefficients were read in another text that quotes the publication, not in the"
        " publication itself."
    ),
    "not verified in print": (
        "Its coefficients are not verified in print: they were entered without a copy of the"
        " publication, and have not yet been compared with it."
    ),
    "disputed": "Its coefficients are disputed: sources give different numbers.",
}
CHECKED: dict[Checked, str] = {
    Checked.FROM_MEMORY: (
        "Two people typed them in separately, without a copy of the publication."
    ),
    Checked.DOUBLE_ENTRY: "Two people typed them in separately, and their entries agree.",
    Checked.WORKED_EXAMPLE: (
        "Two people typed them in separately, and they reproduce a published example."
    ),
}
AUDIENCE = {
    "general": "Adults in general",
    "athlete": "Athletes",
    "obese": "Adults with a BMI of 30 or more",
    "youth": "Children and young people",
    "clinical": "People with an illness",
}
YOUTH = (
    "This equation was developed for children and young people. foldspan gives no body-fat"
    " percentage for anyone under 18."
)
BANDED = (
    "As published, the result jumps at each age limit. For the range, neighbouring rows are"
    " blended over three years on either side."
)
ANCESTRY_NAMES = {
    "white": "White", "black": "Black", "asian": "Asian", "mexican_american": "Mexican American",
    "hispanic": "Hispanic", "american_indian": "American Indian", "japanese": "Japanese",
    "singaporean": "Singaporean", "other": "Other",
}  # fmt: skip
_INDICATOR = {
    "is_male": "1 for men, 0 for women",
    "is_female": "1 for women, 0 for men",
    "is_black": "1 for Black people, otherwise 0",
    "is_asian": "1 for Asian people, otherwise 0",
    "is_mexican_american": "1 for Mexican American people, otherwise 0",
    "is_hispanic": "1 for other Hispanic people, otherwise 0",
    "is_other_ancestry": "1 for people of other ancestry, otherwise 0",
}
_YEAR = re.compile(r"(?:19|20)\d\ds?")
_INITIALS = re.compile(r" [A-Z]{1,5}$")


def short_citation(source: Source) -> str:
    """Return a source by who and when.

    Examples
    --------
    >>> short_citation(Source("sloan1967", "Sloan AW. Estimation of body fat. J Appl Physiol 1967;23"))
    'Sloan 1967'
    """
    authors = source.citation.partition(". ")[0].split(", ")
    year = (_YEAR.search(source.key) or [""])[0]
    if authors[0].startswith("Author"):
        names = "Author not known"
    else:
        names = _INITIALS.sub("", authors[0])
        others = [_INITIALS.sub("", name) for name in authors[1:]]
        if len(others) == 1 and not others[0].startswith("et al"):
            names = f"{names} & {others[0]}"
        elif others:
            names = f"{names} et al."
        year = year or (_YEAR.search(source.citation) or [""])[0]
    return f"{names} {year}".strip()


def title(card: Equation | Conversion, source: Source) -> str:
    """Return a card by who, when and for whom: ``Sloan 1967, men``."""
    who = WHO_YOUNG if card.audience == "youth" else WHO_BOTH
    return f"{short_citation(source)}, {who[card.sex]}"


def label(name: str) -> str:
    """Return a quantity by its name in words."""
    return BY_NAME[name].label


def listed(words: list[str]) -> str:
    """Return words as a list in a sentence.

    Examples
    --------
    >>> listed(["age", "weight", "height"]), listed(["age"])
    ('age, weight and height', 'age')
    """
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]


def quantities(names: tuple[str, ...]) -> str:
    """Return quantities in words, the word that several skinfolds share said once."""
    folds = [name for name in names if BY_NAME[name].kind == "skinfold"]
    others = [label(name) for name in names if name not in folds]
    said = []
    if folds:
        short = [label(name).removesuffix(" skinfold") for name in folds]
        said.append(f"{listed(short)} skinfold{'s' if len(folds) > 1 else ''}")
    return ", ".join([*said, *others])


def argument(given: Input) -> str:
    """Return what stands behind a symbol of a formula, with its unit."""
    if isinstance(given, Sum):
        return f"sum of {quantities(given.names)} [mm]"
    if isinstance(given, Bmi):
        return "body mass index: weight ÷ height² [kg/m²]"
    return _INDICATOR.get(given) or f"{label(given)} [{BY_NAME[given].unit}]"


def converted(conversion: Conversion, source: Source) -> str:
    """Return how a density becomes body fat."""
    minus = "\N{MINUS SIGN}"
    return (
        f"body fat [%] = 100 × ({conversion.c1:g} ÷ body density {minus} {conversion.c2:g})"
        f" ({short_citation(source)})"
    )


def limit(name: str, span: tuple[float, float]) -> str:
    """Return one limit of a sample: ``age 18 to 61 years``."""
    low, high = span
    said = {"sum": ("sum of skinfolds", "mm"), "bmi": ("BMI", "kg/m²")}
    words, unit = said[name] if name in said else (label(name), BY_NAME[name].unit)
    return f"{words} {low:g} to {high:g} {unit}"


def high_or_low(points: float, unit: str = "") -> str:
    """Return how far an equation reads off, without a sign."""
    return f"{abs(points):.1f}{unit} too {'high' if points > 0 else 'low'}"


def known_bias_lines(
    offsets: Mapping[str, Mapping[str, float]], by_background: Mapping[str, Mapping[str, float]]
) -> list[str]:
    """Return how far a card is known to read off: a point for each sex, and for each background."""
    said = []
    for sex, by_age in offsets.items():
        first, *more = by_age.items()
        parts = [f"{high_or_low(first[1], ' points')} at age {first[0]}"]
        parts += [f"{high_or_low(points)} at {age}" for age, points in more]
        said.append(f"{WHO[sex]}: {', '.join(parts)}")
    for word, by_sex in by_background.items():
        points = ", ".join(f"{signed(shift, 1)} in {WHO[sex]}" for sex, shift in by_sex.items())
        said.append(f"where the stated ancestry is {word.capitalize()}, a further {points}")
    return said
