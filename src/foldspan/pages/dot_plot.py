"""Dot plot of a client: twenty equally likely places of body fat, counted by zone."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from statistics import NormalDist

from foldspan.estimation.families.combine import CEILING_PERCENT, FLOOR_PERCENT
from foldspan.figures.dots import COLUMNS, DotPlot, Zone, draw_dots
from foldspan.pages.document import Picture
from foldspan.pages.inputs import Material
from foldspan.pages.pictures import in_whole, open_limits
from foldspan.results.result import Spread
from foldspan.results.spoken import SpokenBand
from foldspan.text.catalogue import Language, Sentence

DOTS = 20
"""How many dots stand for all places where the truth may lie; the one denominator of a client's page."""
# one sentence for each number of zones with a dot in them, and the names of its values
ZONES_FILLED = ("all", "two", "three", "four")
NAMED_ZONES = (
    ("first", "zone"), ("second", "second_zone"), ("third", "third_zone"), ("fourth", "fourth_zone"),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class ZoneCount:
    """How many of the dots lie in one zone."""

    code: str
    """Code of the band."""
    dots: int
    """How many [dots]."""


def places(fat: Spread) -> tuple[float, ...]:
    """Return the equally likely places, rising [% of weight]: the middle of each twentieth."""
    assert fat.estimate is not None
    assert fat.se is not None
    spread = NormalDist(fat.estimate, fat.se)
    middles = (spread.inv_cdf((order + 0.5) / DOTS) for order in range(DOTS))
    return tuple(min(max(place, FLOOR_PERCENT), CEILING_PERCENT) for place in middles)


def counted(fat: Spread, band: SpokenBand) -> tuple[ZoneCount, ...]:
    """Return the zones of a standard from low to high, each with its dots; they add up to all."""
    found, zones = places(fat), _zones(band)
    return tuple(
        ZoneCount(code, sum(map(zone.holds, found)))
        for code, zone in zip(band.probabilities, zones, strict=True)
    )


def _zones(band: SpokenBand, language: Language | None = None, whom: str = "") -> list[Zone]:
    """The zones of a standard; where its columns were averaged a limit is the mean of theirs."""
    limits = open_limits(band)
    names = [
        "" if language is None else zone_name(language, code, whom) for code in band.probabilities
    ]
    return [Zone(name, limits[order], limits[order + 1]) for order, name in enumerate(names)]


def zone_name(language: Language, code: str, whom: str) -> str:
    """Return the name of a zone as it stands on the line and in the sentences."""
    return language.say(f"zone.{code}", sex=whom)


def whom(material: Material) -> str:
    """Return for whom the zones of fat are: ``female`` or ``male``."""
    return str(material.visit.client.known_sex)


def dot_picture(material: Material, band: SpokenBand | None) -> Picture:
    """Return the dots, above the zones of a standard if one applies."""
    language, fat = material.language, material.result.fat_percent
    assert fat.range_80 is not None
    assert fat.se is not None
    ends = in_whole(*fat.range_80)
    zones = [] if band is None else _zones(band, language, whom(material))
    data = DotPlot(
        places(fat), COLUMNS * fat.se, fat.range_80, language.say("picture.likely", **ends),
        language.say("picture.axis.fat_percent"), tuple(zones),
    )  # fmt: skip
    alt = [Sentence("picture.dots", ends)]
    if band is not None:
        alt.append(zone_sentence(material, band))
    return Picture("dots", language.text(alt), partial(draw_dots, data))


def zone_sentence(material: Material, band: SpokenBand) -> Sentence:
    """Return how many dots lie in each zone, the fullest first."""
    language, sex = material.language, whom(material)
    filled = sorted(
        (zone for zone in counted(material.result.fat_percent, band) if zone.dots),
        key=lambda zone: -zone.dots,
    )
    values: dict[str, int | str] = {}
    for (count, name), zone in zip(NAMED_ZONES, filled, strict=False):
        values |= {count: zone.dots, name: zone_name(language, zone.code, sex)}
    return Sentence(f"zones.{ZONES_FILLED[len(filled) - 1]}", values)
