"""Catalogue: every published equation and conversion, in one explicit order.

The order is the order of preference within a lineage: of several equations built on the same people,
the first usable one counts.
"""

from __future__ import annotations

from foldspan.catalogue import (
    girth_general,
    girth_service,
    girth_single,
    mass_height,
    mass_height_curved,
    waist_height,
)
from foldspan.catalogue.card import Conversion, Equation
from foldspan.catalogue.density_to_fat import CONVERSIONS
from foldspan.catalogue.skinfold import (
    asia_latin_america,
    athletes,
    athletes_mixed,
    athletes_sums,
    general,
    general_mixed,
    log_sums,
    sums_men,
    sums_women,
    young,
    young_women,
    youth,
    youth_density,
)

EQUATIONS: tuple[Equation, ...] = (
    *sums_men.CARDS,
    *sums_women.CARDS,
    *log_sums.CARDS,
    *general.CARDS,
    *general_mixed.CARDS,
    *young.CARDS,
    *young_women.CARDS,
    *asia_latin_america.CARDS,
    *athletes.CARDS,
    *athletes_mixed.CARDS,
    *athletes_sums.CARDS,
    *youth.CARDS,
    *youth_density.CARDS,
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
