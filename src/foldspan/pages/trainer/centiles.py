"""Where a client's measures stand among US adults, in words."""

from __future__ import annotations

from foldspan.pages.inputs import Material
from foldspan.protocol.site_guide import guide_for
from foldspan.quantities import SEXES, Sex
from foldspan.reference.centiles import DECADES, Standing, centiles_of, decade_of, standing

LAST_OF_TEENS = (11, 12, 13)
ENDINGS = {1: "st", 2: "nd", 3: "rd"}


def compared_with(material: Material) -> str:
    """Return whom the centiles of a page compare with, "" where there are none."""
    say, client = material.language.say, material.visit.client
    start = decade_of(client.age_years)
    if start is None:
        return ""
    sex = say("sheet." + {"female": "women", "male": "men", "both": "both"}[client.sex])
    if start == DECADES[-1]:
        return say("sheet.oldest", sex=sex, low=start)
    return say("sheet.ages", sex=sex, low=start, high=start + 9)


def centile_words(material: Material, name: str) -> str:
    """Return the centile of one measure or ``bmi``; that there is no reference, where there is none.

    A fold taken at another variant of its site than the usual one has none. Of one that ran off the
    scale only what its readings show is told. Where both sexes' equations are used, both are told.
    """
    say, client = material.language.say, material.visit.client
    sexes = SEXES if client.known_sex is None else (client.known_sex,)
    found = [(sex, _standing(material, name, sex)) for sex in sexes]
    by_sex = [(sex, _words(material, name, at)) for sex, at in found if at is not None]
    if not by_sex:
        return say("sheet.no_reference")
    if len(by_sex) == 1:
        return by_sex[0][1]
    return ", ".join(say(f"sheet.by_{sex}", centile=words) for sex, words in by_sex)


def centiles_at(material: Material, name: str) -> tuple[float, ...] | None:
    """Return the centiles that a site is held against [unit of its name], None without a reference.

    None too where the equations of both sexes are used: there are two references then.
    """
    sex = material.visit.client.known_sex
    if sex is None or not _is_usual(material, name):
        return None
    return centiles_of(name, sex, material.visit.client.age_years)


def _is_usual(material: Material, name: str) -> bool:
    """Whether a site was taken where everybody takes it."""
    usual = guide_for(name).variant
    return material.visit.site_variants.get(name, usual) == usual


def _standing(material: Material, name: str, sex: Sex) -> Standing | None:
    visit, age = material.visit, material.visit.client.age_years
    if name == "bmi":
        return None if material.bmi is None else standing(name, sex, age, material.bmi)
    if not _is_usual(material, name):
        return None
    reading = visit.accepted[name]
    value = max(visit.sites[name].readings) if reading.is_at_least else reading.value
    return standing(name, sex, age, value)


def _words(material: Material, name: str, at: Standing) -> str:
    say, centile = material.language.say, ordinal(round(at.centile))
    if at.is_below or at.is_above:
        return say("sheet.below" if at.is_below else "sheet.above", centile=centile)
    reading = material.visit.accepted.get(name)
    if reading is not None and reading.is_at_least:
        return say("sheet.at_least", centile=centile)
    return centile


def ordinal(number: int) -> str:
    """Return a whole number as people count with it, in English.

    Examples
    --------
    >>> ordinal(5), ordinal(12), ordinal(62), ordinal(93)
    ('5th', '12th', '62nd', '93rd')
    """
    if number % 100 in LAST_OF_TEENS:
        return f"{number}th"
    return f"{number}{ENDINGS.get(number % 10, 'th')}"
