"""The page docs/health-tables.md, made from the standards, the rules and the words of the intake.

``python -m foldspan.cli.doc_pages.health_tables docs/health-tables.md``; the picture of the
standards that docs/health.md shows goes beside it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

from foldspan.cli.doc_pages.health_rates import CHANCES_KEPT, LOW_FAT_FOUND, SURVEY_RATES
from foldspan.cli.printed.health import short_source
from foldspan.files.output import renew_page
from foldspan.standards import ALL_STANDARDS
from foldspan.standards.backgrounds import BACKGROUNDS, NICE_BACKGROUNDS
from foldspan.standards.card import MEASURE_UNITS, Standard
from foldspan.standards.fat_percent import HEO_SPANS
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS
from foldspan.standards.referral_rules import (
    LEVELS,
    REFUSALS,
    RULES,
)
from foldspan.standards.sources import HEALTH_SOURCES
from foldspan.text.en.flags import LEVEL_MEANING, LEVEL_WORDS
from foldspan.text.en.health import BAND_WORDS, MEASURE_NAMES
from foldspan.text.en.reconcile import REFUSAL_WORDS, capital

PICTURE = "health_standards.svg"
OPENING = """\
# Health: rules, limits and their sources

Made by `python -m foldspan.cli.doc_pages.health_tables docs/health-tables.md`; do not edit.
[Health](health.md) says how to read a band or a flag, and what to do about it.

This is screening, not diagnosis. Local rules and professional judgement come first.

Status: *not verified in print* means that nobody has seen the limit in print or in a text that
quotes it; *verified, secondary* that it was read on a page that reproduces the source; *expert
judgement* that it is our own choice. Every limit is typed twice, by two typists.
"""
FLAGS = """\
## Flags

Of flags about the same thing (same word under *ladder*) only the most urgent is shown. All levels are
our own choice; the sources give the signs.

{levels}

"""
RATES = """\
### How often they are raised

In 5,175 adults of NHANES 2017-18 (unweighted; weight, height and waist at the iliac crest, no
health questions answered) these flags were raised, the others never. A flag that is raised for
everybody is soon ignored, so they are limited to 1% for *refer urgently*, 10% for *refer soon* and
25% for any flag (our choice) in the population of this survey, which is heavier than most.

"""
LEAN = """\

### How many of the leanest are found

In 2,048 lean women and 2,048 lean men, simulated from the reference population (BMI 17 to 24, thin
skinfolds; the true body fat drawn around the range, so this is right if the range is): *found* is
the share of those truly below 12% (women) or 5% (men) who are flagged to refer soon; *false alarm*
the share of those truly at 14% or more (women) or 6% or more (men) who are flagged.

"""
KEPT = """\

### Do the stated probabilities come true?

In people aged 20 to 59 from NHANES 2017-18, none of whom the range had learnt from (weight, height
and waist at the iliac crest; DXA as the true value): the left column is the stated probability of
being at or above a body-fat limit, the right column the share who really were. The range was fitted
to scans of 1999 to 2002, and those of 2017-18 are about one percentage point lower in people with
the same measurements: so what had a probability of 70% by the older scans came true in 60% by the
newer ones.

"""
NO_RANGE = """\
## Who gets no adult range

"""
INTAKE = """\
## Intake words

Words may be typed the way people say them (`"T2DM"`, `"Chest pain"`).

"""
STATUS = """\
## Standards

Words for family background: {backgrounds}. The lower limits of NICE apply to {nice}.

"""
NOT_CARRIED = """\
## Not included, and why

| claim | why not |
|---|---|
| "WHO: 25% men, 35% women" | the report cited has no body-fat limit (letter of 2011; disputed) |
| charts that merge the columns of the table published in 2000 | copies disagree with each other and
match no column | | IDF waist limits for Japanese adults | 85/90 or 90/80 cm: sources contradict
each other (disputed) | | body-fat centiles by age and sex from a fitness institute | editions
differ; none could be verified |
| growth-chart centiles below 18 | a clinician has to interpret them together with earlier growth |
| blood tests, energy availability, pulse | not measured here |

Body fat [%, DXA] at a given BMI in a survey of 1999-2004, lowest to highest over three ages and three
groups ([heo2012]; the single cells were not read, so they are not used as bands):

"""


def page() -> str:
    """Return the whole page as Markdown."""
    sources = (
        f"- **{source.key}**: {source.citation}" + (f" ({source.seen})" if source.seen else "")
        for source in HEALTH_SOURCES
    )
    parts = [
        OPENING,
        _flags(),
        KEPT + _kept(),
        NO_RANGE + _refusals(),
        INTAKE + _words(),
        STATUS.format(backgrounds=", ".join(BACKGROUNDS), nice=", ".join(NICE_BACKGROUNDS)),
        *(_measure(measure) for measure in MEASURE_NAMES),
        NOT_CARRIED + _spans(),
        "## Sources\n",
        "\n".join(sources),
    ]
    return "\n".join(parts) + "\n"


def _kept() -> str:
    rows = (
        (sex, f"{100 * by_answers:.0f}%", f"{100 * seen:.0f}%")
        for sex, pairs in CHANCES_KEPT.items()
        for by_answers, seen in pairs
    )
    return _table(("", "stated probability (mean of each fifth)", "came true"), rows)


def _flags() -> str:
    levels = (
        f"- **{LEVEL_WORDS[level]}** (`{level}`): {LEVEL_MEANING[level]}." for level in LEVELS
    )
    opening = FLAGS.format(levels="\n".join(levels))
    rules = _table(
        ("flag", "level", "raised by", "ladder", "source", "status"),
        (
            (
                rule.code,
                LEVEL_WORDS[rule.level],
                rule.when,
                rule.ladder or "-",
                short_source(rule.source),
                rule.status,
            )
            for rule in RULES
        ),
    )
    rates = ((code, f"{rate}%") for code, rate in SURVEY_RATES.items())
    found = (
        (
            {"female": "women", "male": "men"}[sex],
            *(f"{shares[key]:.0f}%" for key in ("found", "found_with_a_word", "for_nothing")),
        )
        for sex, shares in LOW_FAT_FOUND.items()
    )
    heads = ("", "found", "found, or advised", "refer soon, false alarm")
    table = _table(("flag", "share of people"), rates)
    return f"{opening}{rules}\n{RATES}{table}{LEAN}" + _table(heads, found)


def _refusals() -> str:
    return _table(
        ("problem", "who", "what to do instead", "source", "status"),
        (
            (
                refusal.problem,
                refusal.when,
                REFUSAL_WORDS[refusal.problem][1],
                short_source(refusal.source),
                refusal.status,
            )
            for refusal in REFUSALS
        ),
    )


def _table(heads: tuple[str, ...], rows: Iterable[tuple[str, ...]]) -> str:
    lines = [f"| {' | '.join(heads)} |", f"|{'---|' * len(heads)}"]
    return "\n".join([*lines, *(f"| {' | '.join(row)} |" for row in rows)]) + "\n"


def _words() -> str:
    rows = [
        (name, word, means)
        for name, words in (
            ("symptoms", SYMPTOMS),
            ("conditions", CONDITIONS),
            ("medicines", MEDICINES),
        )
        for word, means in words.items()
    ]
    return _table(("list", "word", "means"), rows)


def _measure(measure: str) -> str:
    unit = MEASURE_UNITS[measure]
    title = capital(MEASURE_NAMES[measure]) + (f" [{unit}]" if unit else "")
    systems: dict[str, list[Standard]] = {}
    for standard in ALL_STANDARDS:
        if standard.measure == measure:
            systems.setdefault(standard.system, []).append(standard)
    return f"### {title}\n\n" + "\n".join(map(_system, systems.values()))


def _system(rows: list[Standard]) -> str:
    """One standard: what it is, its bands from low to high, and the limits for each group."""
    standard = rows[0]
    shown = (
        "" if standard.is_shown else " *Listed for comparison; clients are not compared with it.*"
    )
    bands = "; ".join(f"{BAND_WORDS[label]} (`{label}`)" for label in standard.labels)
    about = "by family background" if standard.backgrounds else standard.population.split(":")[0]
    graded = dict.fromkeys((short_source(standard.source), standard.status))
    opening = f"**{standard.system}**, {', '.join(graded)}; {about}."
    table = _table(
        ("for", "reference method or level", "next band starts", "key"),
        ((_whom(row), _where(row), _limits(row), row.key) for row in rows),
    )
    return f"{opening}{shown} Bands: {bands}. {standard.note}\n\n{table}"


def _whom(standard: Standard) -> str:
    sex = {"female": "women", "male": "men", "both": "adults"}[standard.sex]
    first, last = standard.ages
    ages = (
        f"{first} and older" if last is None else f"{first}-{last}" if last > first else f"{first}"
    )
    parts = [f"{sex} {ages}", standard.population if standard.backgrounds else ""]
    low, high = standard.bmi
    if low is not None or high is not None:
        parts.append(
            f"body mass index below {high:g}"
            if low is None
            else f"body mass index from {low:g}" + ("" if high is None else f" to below {high:g}")
        )
    return "; ".join(part for part in parts if part)


def _where(standard: Standard) -> str:
    return (
        standard.reference_method
        or ", ".join(site.removesuffix("_cm") for site in standard.waist_sites)
        or "-"
    )


def _limits(standard: Standard) -> str:
    """Every limit with its sign: ``≥`` where it belongs to the band above, ``>`` to the one below."""
    signs = ("≥" if side == "above" else ">" for side in standard.sides())
    return ", ".join(
        f"{sign} {limit:g}" for sign, limit in zip(signs, standard.limits, strict=True)
    )


def _spans() -> str:
    bmis = list(HEO_SPANS["female"])
    heads = ("body mass index", *(f"{bmi:g}" for bmi in bmis))
    rows = (
        (sex, *(f"{low:g}-{high:g}" for low, high in spans.values()))
        for sex, spans in HEO_SPANS.items()
    )
    return _table(heads, rows)


if __name__ == "__main__":
    from foldspan.figures.standards import standards_figure

    renew_page(sys.argv[1], page())
    picture = Path(sys.argv[1]).with_name(PICTURE)
    standards_figure(str(picture), replace=True)
    picture.chmod(0o644)  # a page of the documents, for everybody
