"""The page docs/health.md, made from the standards, the rules and the words of the intake.

``python -m foldspan.cli.doc_pages.health docs/health.md``; the picture of the standards goes beside it.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

from foldspan.cli.doc_pages.health_rates import CHANCES_KEPT, LOW_FAT_FOUND, SURVEY_RATES
from foldspan.cli.printed.health import short_source
from foldspan.files.output import renew_page
from foldspan.interpretation.classification import COIN_TOSS
from foldspan.standards import ALL_STANDARDS
from foldspan.standards.backgrounds import BACKGROUNDS, NICE_BACKGROUNDS
from foldspan.standards.card import MEASURE_UNITS, Standard
from foldspan.standards.fat_percent import HEO_SPANS
from foldspan.standards.intake_vocabulary import CONDITIONS, MEDICINES, SYMPTOMS
from foldspan.standards.referral_rules import (
    LEVELS,
    LOW_FAT_AT,
    RAISED_AT,
    REFUSALS,
    RULES,
    SURE_AT,
)
from foldspan.standards.sources import HEALTH_SOURCES
from foldspan.text.en.flags import LEVEL_MEANING, LEVEL_WORDS
from foldspan.text.en.health import BAND_WORDS, MEASURE_NAMES
from foldspan.text.en.reconcile import REFUSAL_WORDS, capital

PICTURE = "health_standards.svg"
OPENING = """\
# What the numbers mean for health

Made from the data by `python -m foldspan.cli.doc_pages.health docs/health.md`; do not edit.

This is screening, not diagnosis. A band says where a number lies among published limits, never that
somebody is ill. Local rules and licensed practice come first.

## How a band is told

- A measured value is never exactly right, so a standard answers with a **chance for each of its
  bands**, under a normal error around the value. They sum to one. Body mass index and ratios carry
  the error of their readings; fat carries the whole error of the range.
- The likeliest band is named first, others from 5 % on. If the likeliest has less than {toss:.0f}
  %, the standard calls it a coin toss, or undecided between three and more.
- **Every band of fat stands on its own scale**, underwater weighing or DXA. The range is stated on
  both, so that no value is held against limits of the other scale.
- A waist standard needs its own level. Where that was not taken, another level stands in with the
  published difference, whose spread joins the error, and the line says so.
- No standard is averaged with another. Where two contradict each other, the page lists who says
  what, and why they can: they look at different things, stand on different scales, go by age or
  not, or were set on other people.
- Beside a low weight no band of too much is told, and none that reassures ("the study saw no cases"),
  on any page, letter or table.
- Family background is self-described and optional (`[client] family_background`), in any words; limits
  go by these: {backgrounds}. Other words are kept, and it is said that they are not used. It is asked
  only because some published limits use it ({nice}: the lower points of NICE), and because the range by
  DXA goes by it where it says Black (docs/calibration.md). Where none is stated the
  general limits are used, and that is said; a standard that has columns by background and none for
  everybody is then answered with the mean of its columns (ours); the IDF waist is left out then.
  `ancestry` white, asian or japanese counts as stated.
- Sex means which equations and limits fit, those for women or those for men, not gender. Nobody has
  published limits for trans and intersex clients: `sex = "both"` gives both answers side by side, no
  single range, and only what has no limits by sex, waist to height first. In pregnancy nobody gets a
  range, whichever equations fit.

![Limits of body fat by sex, age and scale]({picture})

The picture shows every fat standard that is held against a client. The same person reads about 3
points higher on the scale of DXA; the limits there are higher too.
"""
KEPT = """\
## Are the chances kept?

On people of 20 to 59 years of NHANES 2017-18, none of whom the range was taught on (weight, height
and waist at the hip bone; DXA as the truth): of those who were told a chance to be at or above a limit
of fat, as many as the right column says really were. The range is levelled on scans of 1999 to 2002, and
those of 2017 to 2018 read about a point lower in people of the same measurements: so a chance of 70 % by
the older scans came true in 6 of 10 by the newer ones. Near a limit go by several standards, not by one.

"""
FLAGS = """\
## Flags

A flag is a reason to act, with its level. Levels are ours everywhere; the sources give the signs.

{levels}

A flag that rests on measurements is raised where the chance that it holds is at least {raised:.0f} %
({low:.0f} % for low fat, where a miss hurts more than a word too many), and is called borderline below
{sure:.0f} %; two conditions count with the product of their chances. What was told counts in full. Of
flags that say more or less of the same, the same word under *ladder*, only the most urgent is shown.
Low fat is flagged on the scale of underwater weighing. High weight is flagged on weight, height and
waist, never on a fat percentage.

"""
RATES = """\
### How often they are raised

On 5,175 adults of NHANES 2017-18 (unweighted; weight, height and waist at the hip bone, nothing
told at intake) these flags are raised, the others never. A flag that is raised for everybody is
soon passed over, so we hold them to at most 1 in 100 for *refer urgently*, 1 in 10 for *refer soon*
and 1 in 4 for any flag (ours); that survey is of a heavy population. It is why a waist of half the
height is told as a band and is a flag only at a usual weight, and why a body mass index of 35 to 40
is at *advise*.

"""
LEAN = """\

### Who of the leanest is found

Of 2,048 lean women and 2,048 lean men, invented from the reference people (body mass index 17 to 24,
thin folds; the true fat drawn around the range, so if the range keeps its promise): *found* are those
truly below 12 % (women) or 5 % (men) who are flagged to refer soon, *for nothing* those truly at 14 % or
6 % and above who are flagged. By the rule of version 0.6, the upper end of the 95 % range, nobody was
found.

"""
INTAKE = """\
## The intake

`[intake]` in the visit file is optional, and so is every line of it. Nothing is assumed where
nothing is said. What was asked and answered with none is told apart from what was not asked:
`symptoms = []`, `periods_stopped = false`, `surgery_months_ago = "none"`, and in `[client]`
`pregnant = false`. Words may be written as people say them (`"T2DM"`, `"Chest pain"`). In a table the
same names are columns; words of a list stand in one cell with semicolons between them.

```toml
[intake]
earlier_weight_kg = 78.0          # or weight_lost_kg = 6.7
earlier_weight_months_ago = 5     # or earlier_weight_date = 2025-10-02
loss_wanted = false               # leave out if nobody asked
symptoms = ["falls", "slow"]
conditions = ["diabetes"]
medicines = ["blood_thinner"]
surgery_months_ago = 2
birth_months_ago = 4              # months since a birth
eating_concern = true             # worry about eating, weight or shape, of the client or the trainer
periods_stopped = true            # none for three months or more; leave out after the menopause
anabolic_drugs = true             # testosterone and the like, for muscle; cortisone is a medicine
grip_kg = 17.5                    # the best of a few tries
blood_pressure_mmhg = "142/91"
```

In tables blood pressure may also stand in two columns, `blood_pressure_upper_mmhg` and
`blood_pressure_lower_mmhg`, and every word of a list in a column of its own with yes or no. Times may
carry their unit: `"6 weeks"`.

"""
CAREFUL = """\
## Careful words

With `eating_concern` the client's page holds no number, no band and no goal, and points to help;
the pages for the trainer and the clinician keep them. Where something is to be seen by a doctor the
same day, the client's page holds nothing else. Ask before you show numbers to anybody.

## Athletes and strong bodies

Body mass index cannot tell muscle from fat. For a client marked `athlete`, or whose limbs show more
muscle than usual, its bands say "not for a strong build" and the flag `strong_build` is raised. In
tables only the mark counts. There is no agreed best fat percentage for any sport.
"""
JSON = """\
## In JSON

`foldspan reconcile --json` and `Result.to_dict()` carry, beside the range:

- `bands`, for every standard: `standard` (its key), `name`, `measure`, `scale`, `value`, `se`,
  `probabilities` by band from low to high, `is_coin_toss`, `text`, `remarks`, `source`, `status`
- `standards_apart`: sentences on which standards contradict each other, and why they can
- `flags`, the most urgent first: `code`, `level`, `text` (trainer), `for_client`, `for_clinician`,
  `chance`, `is_borderline`, `source`, `status`
- `health_remarks`: sentences about the whole check, such as that no family background is stated
- `careful_words`: true where the client is to be shown no number
- `answered_none`, `not_asked`: questions that were asked and answered with none, and those that were
  not asked or not answered; `reconcile`, the pages for staff and the letter say the same

In a table `flags` holds the codes with semicolons between them, `worst_flag_level` the highest level.

"""
NO_RANGE = """\
## Who gets no adult range

Measures may be kept; there is no fat percentage and no band. What was told is flagged all the same, and
so is a low weight: under 18 by the growth reference (-2 and -3 standard deviations, values from memory),
with a limb missing by limits that leave room for it. A visit that is refused for a fault still says what
needs somebody today (E127). Under 18, or where the age is not known, a weight from 8 kg and a height
from 60 cm on are used as told (ours). A weight of an adult that is too low to be used leaves no range,
and cannot wait if it is right (E127): a visit is refused and says so, a row of a table is flagged,
listed and has its letter. At 18 and 19 adult classes and growth reference are both shown.

"""
STATUS = """\
## Standards

*From memory*: the limits are recalled. *Verified, secondary*: read on a page that reproduces the
source. Every limit is typed twice, by two typists.
"""
NOT_CARRIED = """\
## Not carried, and why

| claim | why not |
|---|---|
| "WHO: 25 % men, 35 % women" | the report credited holds no limit of fat (letter of 2011; disputed) |
| charts that merge the columns of the table of 2000 | copies disagree and fit no column |
| Japanese waist of the IDF | 85/90 or 90/80 cm, sources contradict each other (disputed) |
| fat by age and sex as centiles of a fitness institute | editions differ; none could be verified |
| growth charts by centile below 18 | a clinician reads them with the whole course of growth |
| blood tests, energy availability, pulse | not measured here |

Fat [%, DXA] at a given body mass index in a survey of 1999-2004, lowest to highest over three ages
and three groups ([heo2012]; the single cells were not read, so no band is made of them):

"""


def page() -> str:
    """Return the whole page as Markdown."""
    sources = (
        f"- **{source.key}**: {source.citation}" + (f" ({source.seen})" if source.seen else "")
        for source in HEALTH_SOURCES
    )
    parts = [
        OPENING.format(
            toss=100 * COIN_TOSS,
            backgrounds=", ".join(BACKGROUNDS),
            nice=", ".join(NICE_BACKGROUNDS),
            picture=PICTURE,
        ),
        KEPT + _kept(),
        _flags(),
        _refusals(),
        INTAKE + _words(),
        CAREFUL,
        JSON + STATUS,
        *(_measure(measure) for measure in MEASURE_NAMES),
        NOT_CARRIED + _spans(),
        "## Sources\n",
        "\n".join(sources),
    ]
    return "\n".join(parts) + "\n"


def _kept() -> str:
    rows = (
        (sex, f"{100 * by_answers:.0f} %", f"{100 * seen:.0f} %")
        for sex, pairs in CHANCES_KEPT.items()
        for by_answers, seen in pairs
    )
    return _table(("", "chance told, mean of a fifth", "came true"), rows)


def _flags() -> str:
    levels = (
        f"- **{LEVEL_WORDS[level]}** (`{level}`): {LEVEL_MEANING[level]}." for level in LEVELS
    )
    opening = FLAGS.format(
        levels="\n".join(levels), raised=100 * RAISED_AT, low=100 * LOW_FAT_AT, sure=100 * SURE_AT
    )
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
    rates = ((code, f"{rate} %") for code, rate in SURVEY_RATES.items())
    found = (
        (
            {"female": "women", "male": "men"}[sex],
            *(f"{shares[key]:.0f} %" for key in ("found", "found_with_a_word", "for_nothing")),
        )
        for sex, shares in LOW_FAT_FOUND.items()
    )
    heads = ("", "found", "found, or advised", "refer soon for nothing")
    table = _table(("flag", "share of people"), rates)
    return f"{opening}{rules}\n{RATES}{table}{LEAN}" + _table(heads, found)


def _refusals() -> str:
    return NO_RANGE + _table(
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
    shown = "" if standard.is_shown else " *Carried to compare, not held against clients.*"
    bands = "; ".join(f"{BAND_WORDS[label]} (`{label}`)" for label in standard.labels)
    about = "by family background" if standard.backgrounds else standard.population.split(":")[0]
    opening = f"**{standard.system}**, {short_source(standard.source)}, {standard.status}; {about}."
    table = _table(
        ("for", "scale or level", "next band starts", "key"),
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
        standard.scale
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
