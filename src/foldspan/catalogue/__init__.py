"""Catalogue: every published equation and conversion, in one explicit order.

The order is the order of preference within a lineage: of several equations built on the same people,
the first usable one speaks.
"""

from __future__ import annotations

from foldspan.catalogue import (
    girth_general,
    girth_service,
    girth_single,
    mass_height,
    mass_height_curved,
    skinfold_asia_latin_america,
    skinfold_athletes,
    skinfold_athletes_mixed,
    skinfold_athletes_sums,
    skinfold_general,
    skinfold_general_mixed,
    skinfold_log_sums,
    skinfold_sums_men,
    skinfold_sums_women,
    skinfold_young,
    skinfold_young_women,
    skinfold_youth,
    skinfold_youth_density,
    waist_height,
)
from foldspan.catalogue.card import Conversion, Equation
from foldspan.catalogue.density_to_fat import CONVERSIONS

EQUATIONS: tuple[Equation, ...] = (
    *skinfold_sums_men.CARDS,
    *skinfold_sums_women.CARDS,
    *skinfold_log_sums.CARDS,
    *skinfold_general.CARDS,
    *skinfold_general_mixed.CARDS,
    *skinfold_young.CARDS,
    *skinfold_young_women.CARDS,
    *skinfold_asia_latin_america.CARDS,
    *skinfold_athletes.CARDS,
    *skinfold_athletes_mixed.CARDS,
    *skinfold_athletes_sums.CARDS,
    *skinfold_youth.CARDS,
    *skinfold_youth_density.CARDS,
    *girth_service.CARDS,
    *girth_general.CARDS,
    *girth_single.CARDS,
    *mass_height.CARDS,
    *mass_height_curved.CARDS,
    *waist_height.CARDS,
)

SIRI: Conversion = CONVERSIONS[0]

_EQUATION_BY_KEY = {card.key: card for card in EQUATIONS}
_CONVERSION_BY_KEY = {card.key: card for card in CONVERSIONS}


def equation_by_key(key: str) -> Equation:
    """Return the card called ``key``; KeyError if there is none."""
    return _EQUATION_BY_KEY[key]


def conversion_by_key(key: str) -> Conversion:
    """Return the conversion called ``key``; KeyError if there is none."""
    return _CONVERSION_BY_KEY[key]
