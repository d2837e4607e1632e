"""Short sources: a health source by who and when, for a line that has no room for all of it."""

from __future__ import annotations

import re

from foldspan.standards.sources import HEALTH_SOURCE_BY_KEY

# sources that do not begin with an author
NAMED = {
    "awgs2019": "AWGS 2019",
    "cdc": "CDC",
    "cms": "CMS",
    "gym_band": "ACSM",
    "idf2006": "IDF 2006",
    "meed2022": "Royal College of Psychiatrists 2022",
    "must": "MUST",
    "ng136": "NICE NG136",
    "ng69": "NICE NG69",
    "nhanes2017": "NHANES 2017-2018",
    "nhlbi1998": "NHLBI 1998",
    "nice_bmi": "NICE 2025",
    "nice_waist": "NICE 2022",
    "ours": "our own caution, no source",
    "practice": "common practice, no source",
    "weight_loss_workup": "Am Fam Physician 2021",
    "who_asia": "WHO 2004",
    "who_bmi": "WHO 2000",
    "who_growth2007": "WHO 2007",
    "who_waist": "WHO 2008",
}
_AUTHOR, _YEAR = re.compile(r"[^\s,]+(?= [A-Z]{1,3}\b)"), re.compile(r"\b((?:19|20)\d\d);")


def short_source(key: str) -> str:
    """Return a health source by who and when.

    Examples
    --------
    >>> short_source("winter2014"), short_source("ng136")
    ('Winter 2014', 'NICE NG136')
    """
    if key in NAMED:
        return NAMED[key]
    citation = HEALTH_SOURCE_BY_KEY[key].citation
    author, year = _AUTHOR.match(citation), _YEAR.search(citation)
    assert author is not None
    assert year is not None
    return f"{author[0]} {year[1]}"
