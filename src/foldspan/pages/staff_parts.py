"""Parts that the trainer's page and the letter to a clinician share."""

from __future__ import annotations

from foldspan.catalogue.sources import SOURCES
from foldspan.display_units import ShownUnits, signed, whole_ends
from foldspan.measurement.accepted_values import Accepted
from foldspan.pages.document import Table
from foldspan.pages.inputs import Material
from foldspan.pages.sanitise import as_typed
from foldspan.results.cautions import GENERAL
from foldspan.results.spoken import SpokenBand
from foldspan.standards.sources import HEALTH_SOURCES
from foldspan.text.catalogue import ENGLISH
from foldspan.text.change import (
    break_sentences,
    chance_sentence,
    course_sentences,
    fat_sentences,
    printed_amount,
    span_words,
)
from foldspan.text.en.health import MEASURE_NAMES, is_main
from foldspan.text.en.reconcile import CAUTIONS, capital
from foldspan.text.made_with import local_sentence, printed_sentence
from foldspan.text.raw_changes import changes_shown, raw_changes
from foldspan.text.self_reported import asked_lines

SOURCE_BY_KEY = {source.key: source for source in (*SOURCES, *HEALTH_SOURCES)}


def both_answers(material: Material) -> tuple[str, ...]:
    """Return the answers by the equations for each sex, where it is left open which of them fit."""
    say, lines = material.language.say, []
    for sex, result_of_sex in material.result.by_sex:
        answer = " ".join(problem.sentence() for problem in result_of_sex.problems)
        if result_of_sex.fat_percent.range_80 is not None:
            low, high = whole_ends(result_of_sex.fat_percent.range_80)
            answer = say("staff.answer", low=low, high=high)
            answer = f"{answer} {local_sentence(result_of_sex.local)}".strip()
        lines.append(f"{say(f'staff.by_{sex}')}: {answer}")
    if material.result.as_printed:
        lines.append(printed_sentence(material.result))
    return tuple(lines)


def cautions_of(material: Material, *, general: bool) -> list[str]:
    """Return the cautions that stand at every answer, or those about this client."""
    codes = material.result.caution_codes
    return [CAUTIONS[code] for code in codes if (code in GENERAL) is general]


def running(material: Material) -> str:
    """Return what tells a loose sheet whose it is, and of which day."""
    visit = material.visit
    return " · ".join(text for text in (as_typed(visit.client.code), str(visit.day or "")) if text)


def reference(key: str) -> str:
    """Return a source as people cite it; our own cautions say that there is none."""
    return SOURCE_BY_KEY[key].citation


def shown_in(units: ShownUnits, band: SpokenBand) -> str:
    """Return what a standard was held against, a waist in the units of the page."""
    if band.measure != "waist_cm" or units.system == "metric":
        return band.shown
    return f"{MEASURE_NAMES[band.measure]} {band.value / units.per_length:.1f} {units.length}"


def band_lines(material: Material, *, with_source: bool = False) -> list[str]:
    """Return what each main standard says, with what to know before going by it."""
    lines = []
    for band in material.result.bands:
        if is_main(band.standard, band.probabilities):
            remarks = f" ({'; '.join(band.remarks)})" if band.remarks else ""
            text = material.language.say(
                "staff.band", name=band.name, shown=shown_in(material.units, band), text=band.text
            )
            source = f" {reference(band.source)}." if with_source else ""
            lines.append(f"{text}{remarks}{source}")
    return lines


def left_out_lines(material: Material) -> list[str]:
    """Return which earlier visits could be no part of the trend, and why, in English."""
    say = ENGLISH.say
    return [
        say("staff.left_out_visit", day=day or say("staff.day_not_noted"), why=problem.what)
        for day, problem in material.left_out
    ]


def change_lines(material: Material, *, with_breaks: bool = True) -> list[str]:
    """Return what changed over the visits that were given, and what breaks the comparison.

    Unless ``with_breaks``, what the one who measured should have done alike is left out.
    """
    whole, say = material.whole, material.language.say
    lines = left_out_lines(material)
    if whole is None:
        return lines
    first = material.earlier[0][0].day
    moments = (first, say("staff.first_visit")), (material.visit.day, say("staff.this_visit"))
    earlier, later = (
        unknown if day is None else material.language.day(day, material.units.system)
        for day, unknown in moments
    )
    lines.append(say("staff.since", earlier=earlier, later=later))
    if whole.change.percent is not None:
        chance = chance_sentence(whole.change.percent, "body fat", whole.change)
        span = span_words(whole.change.percent, say("staff.points"))
        lines.append(f"{chance} {capital(span)}.")
    lines += fat_sentences(whole) if whole.by_sex else []
    for key, difference in (
        ("weight_is", whole.change.weight),
        ("fat_mass_is", whole.change.fat_mass),
    ):
        if difference is not None:
            text = "staff.mass_change_real" if difference.is_real else "staff.mass_change"
            ends = {
                "earlier": material.mass(difference.earlier),
                "later": material.mass(difference.later),
            }
            lines.append(say(text, what=say(f"staff.{key}"), **ends))
    lines += course_sentences(whole)
    return lines + (break_sentences(whole.change, whole.trend) if with_breaks else [])


def raw_table(material: Material) -> Table | None:
    """Return what changed of folds and girths, None where none was measured twice."""
    say, whole = material.language.say, material.whole
    rows = [] if whole is None else raw_changes(whole.change, material.units)
    if not rows:
        return None
    cells = []
    for row in rows:
        low, high = row.difference.range_80
        real = say("staff.yes") if row.difference.is_real else ""
        amount = printed_amount(row.difference)
        cells.append(
            (capital(row.label), *row.ends(), signed(amount, 1),
             f"{signed(low, 1)} to {signed(high, 1)}",
             f"{row.difference.minimal_detectable_change:.1f}", real)
        )  # fmt: skip
    header = ("measure", "before", "now", "amount", "likely", "real_from", "real")
    return Table(
        say("staff.raw"),
        tuple(say(f"staff.{name}") for name in header),
        tuple(cells),
        (1, 2, 3, 4, 5),
        is_dense=True,
    )


def raw_lines(material: Material) -> list[str]:
    """Return the sum of folds, the waist, and what else changed beyond chance, a line each."""
    whole = material.whole
    if whole is None:
        return []
    shown = changes_shown(raw_changes(whole.change, material.units))
    return [f"{capital(row.label)}: {row.line()}." for row in shown]


def intake_lines(material: Material) -> list[str]:
    """Return which questions were answered none and which were not asked; that nothing was asked."""
    if not material.was_asked:
        return [material.language.say("staff.nothing_asked")]
    health = material.result.health
    return asked_lines(health.answered_none, health.not_asked)


def remarks_of(material: Material, reading: Accepted) -> list[str]:
    """Return what is to be known of the readings of one site."""
    say, manner = material.language.say, material.visit.how_taken
    found = [
        ("third", reading.wants_third),
        ("unsteady", reading.is_unsteady),
        ("at_least", reading.is_at_least),
        ("over_clothing", reading.name in manner.over_clothing),
        ("left_side", reading.name in manner.left_side),
    ]
    words = [say(f"staff.{key}") for key, holds in found if holds]
    variant = material.visit.site_variants.get(reading.name, "")
    return [*words, variant.replace("_", " ")] if variant else words
