"""Trainer's sheet, first page: the range, every method, the reasons, flags, what to measure next, bands.

The second page is made in ``details``, what follows only where all is asked for in
``full``.
"""

from __future__ import annotations

from dataclasses import replace

from foldspan.display_units import whole_ends
from foldspan.explanation.decomposition import turned
from foldspan.explanation.next_measurement import NextMeasurement
from foldspan.external.combine import Placed
from foldspan.pages.document import (
    Bullets,
    Document,
    Facts,
    Heading,
    Notice,
    Paragraph,
    Part,
    Picture,
)
from foldspan.pages.inputs import Material
from foldspan.pages.pictures import agreement_picture, in_whole
from foldspan.pages.sanitise import as_typed
from foldspan.pages.staff_parts import (
    band_lines,
    both_answers,
    cautions_of,
    intake_lines,
    running,
)
from foldspan.pages.trainer.details import details, small_print
from foldspan.pages.trainer.full import in_full
from foldspan.protocol.plans import PLAN_BY_KEY
from foldspan.results.offers import is_measured_again, offered
from foldspan.text.change import CAREFUL
from foldspan.text.en.flags import LEVEL_WORDS
from foldspan.text.en.reconcile import (
    FAMILY_NAMES,
    MEASURE_AGAIN,
    ONLY_THEN,
    REFERENCE_SENTENCES,
    capital,
    verdict_sentence,
)
from foldspan.text.en.short_sources import short_source
from foldspan.text.explain import (
    known_bias_sentence,
    label,
    next_sentence,
    outside_sentences,
    slip_sentence,
    would_agree_sentence,
)
from foldspan.text.made_with import made_with

MOST_NEEDED = 3
# what narrows the range by less is not worth another measurement [percentage points] (our choice)
LEAST_NARROWING = 0.3


def trainer_page(material: Material) -> Document:
    """Return the sheet for the trainer: two pages, and more where everything is asked for."""
    say, result = material.language.say, material.result
    flags = _flags(material)
    # whoever is to see a clinician must not be overlooked: that comes before any number
    refers = any(flag.level.startswith("refer") for flag in material.flags)
    parts: list[Part] = [_who(material)]
    cautions = (*([CAREFUL] if material.is_careful else []), *cautions_of(material, general=False))
    parts += [Notice(say("staff.cautions"), cautions)] if cautions else []
    parts += [flags] if refers else []
    if result.has_range:
        parts += [*_range(material), *_reasons(material)]
    else:
        lines = (*both_answers(material), *(problem.sentence() for problem in result.problems))
        parts += [Heading(say("staff.no_range")), Bullets(lines)]
    parts += [] if refers else [flags]
    parts += next_parts(material) if result.has_range else []
    parts += _bands(material)
    parts += details(material)
    parts += in_full(material) if material.is_full and result.has_range else []
    return Document(
        say("staff.trainer"), material.language.code, tuple(parts), small_print(material),
        material.paper, running(material),
    )  # fmt: skip


def _who(material: Material) -> Facts:
    """Return who was measured, when, by whom and what was planned: never a name."""
    say, visit = material.language.say, material.visit
    client = visit.client
    plan = PLAN_BY_KEY.get(material.plan)
    rows = [
        (say("staff.code"), as_typed(client.code)),
        (say("staff.day"), "" if visit.day is None else visit.day.isoformat()),
        (say("staff.age"), say("staff.years", years=int(client.age_years))),
        (say("staff.sex"), say(f"staff.{client.sex}")),
        (say("staff.tester"), as_typed(visit.tester)),
        (say("sheet.plan"), "" if plan is None else plan.what),
        (say("staff.calliper"), as_typed(visit.calliper)),
        (say("staff.athlete"), say("staff.yes") if client.athlete else ""),
    ]
    return Facts(tuple((name, value) for name, value in rows if value), columns=2)


def _flags(material: Material) -> Notice:
    """Return who is to be referred, how soon and by which source, and what was asked."""
    say = material.language.say
    lines = [
        say(
            "sheet.flag",
            level=capital(LEVEL_WORDS[flag.level]), text=flag.text,
            source=short_source(flag.source),
        )
        for flag in material.flags
    ]  # fmt: skip
    # what was asked in full stands with what was told
    lines += [] if material.was_asked else intake_lines(material)
    return Notice(say("staff.flags"), tuple(lines) or (say("staff.no_flags"),))


def _range(material: Material) -> list[Part]:
    """The range in a sentence, its error and masses, and every method in one picture with numbers."""
    say, result = material.language.say, material.result
    fat = result.fat_percent
    assert fat.range_80 is not None
    assert fat.range_95 is not None
    lowest, highest = whole_ends(fat.range_95)
    lead = say(
        "sheet.lead", **in_whole(*fat.range_80), lowest=lowest, highest=highest,
        middle=f"{fat.estimate:.0f}",
    )  # fmt: skip
    reference = REFERENCE_SENTENCES[result.reference_method]
    lines = [say("sheet.se", se=f"{fat.se:.1f}", reference=reference)]
    lines += [_masses(material)] if result.fat_mass_kg.range_80 is not None else []
    lines += [made_with(result)] if made_with(result) else []
    return [
        Paragraph(lead, is_lead=True), Paragraph(" ".join(lines)), _methods_picture(material),
    ]  # fmt: skip


def _methods_picture(material: Material) -> Picture:
    """Every method in one picture; its numbers also for whoever cannot see it."""
    say = material.language.say
    picture = agreement_picture(material, for_client=False)
    numbers = "; ".join(
        say(
            "sheet.numbers", name=capital(FAMILY_NAMES[method.method]),
            percent=f"{method.estimate:.1f}", se=f"{method.se:.1f}",
            weight=f"{100 * method.weight:.0f}",
        )
        for method in material.result.methods
    )  # fmt: skip
    caption = " ".join([picture.caption, say("sheet.marks"), *_not_shown(material)])
    return replace(picture, alt=f"{picture.alt} {numbers}.", caption=caption)


def _not_shown(material: Material) -> list[str]:
    """What the picture of the methods cannot show: the silent ones, and results from elsewhere."""
    say, result = material.language.say, material.result
    spoken = {method.method for method in result.methods}
    silent = [
        say("sheet.silent_method", method=name, why=say(f"staff.{result.why_silent(family)}"))
        for family, name in FAMILY_NAMES.items()
        if family not in spoken
    ]
    lines = [say("sheet.silent", methods=", ".join(silent))] if silent else []
    left = 1.0 - sum(method.weight for method in result.methods)
    return [*lines, say("sheet.elsewhere", weight=f"{100 * left:.0f}")] if left > 0.005 else lines


def _masses(material: Material) -> str:
    """Fat and lean mass of the middle: what is printed adds up."""
    result, per, unit = material.result, material.units.per_mass, material.units.mass
    fat = result.fat_mass_kg.estimate or 0.0
    likely = result.fat_mass_kg.range_80 or (fat, fat)
    # as the table of the sites prints it: a page has one weight
    weight = float(f"{material.visit.accepted['weight_kg'].value / per:.1f}")
    shown = round(fat / per, 1)
    ends = in_whole(likely[0] / per, likely[1] / per)
    return material.language.say(
        "staff.masses",
        fat=f"{shown:.1f} {unit}", lean=f"{weight - shown:.1f} {unit}", weight=f"{weight:.1f} {unit}",
        low=ends["low"], high=f"{ends['high']} {unit}",
    )  # fmt: skip


def _reasons(material: Material) -> list[Part]:
    """The verdict, what to measure again first, and the reasons with their sizes."""
    say, explanation, units = material.language.say, material.explanation, material.units.of_all()
    result = material.result
    lines = [finding.text for finding in explanation.findings]
    lines += _pair_lines(material)
    lines += _outside(material)
    parts: list[Part] = [
        Heading(say("sheet.agreement")),
        Paragraph(verdict_sentence(result.verdict, result.misfit.inflation)),
    ]
    slips = [capital(slip_sentence(slip, explanation.typed, units)) for slip in explanation.slips]
    parts += [Notice(say("staff.again"), tuple(slips))] if slips else []
    return [*parts, Bullets(tuple(lines))] if lines else parts


def _pair_lines(material: Material) -> list[str]:
    """What the two methods furthest apart are known to read off, and what would close their gap."""
    say, explanation, units = material.language.say, material.explanation, material.units.of_all()
    if explanation.headline is None:
        return []
    pair = turned(explanation.headline)
    lines = [known_bias_sentence(pair)] if known_bias_sentence(pair) else []
    if not explanation.is_apart:
        return lines
    high, low = (FAMILY_NAMES.get(name, name) for name in pair.between)
    needed = [change for change in explanation.would_agree if change.needed is not None]
    changes = [
        would_agree_sentence(change, units[change.quantity]) for change in needed[:MOST_NEEDED]
    ]
    if changes:
        lines.append(say("sheet.needed", high=high, low=low, changes=" ".join(changes)))
    return lines


def _outside(material: Material) -> list[str]:
    explanation = material.explanation
    pairs: list[tuple[Placed, bool]] = list(
        zip(explanation.outside, explanation.included, strict=True)
    )
    return [
        " ".join(
            outside_sentences(
                pair, explanation.result.reference_method, included=joined, units=material.units
            )
        )
        for pair, joined in pairs
    ]


def next_parts(material: Material) -> list[Part]:
    """What to measure next with what it would narrow; nothing that many would rather not have."""
    say, explanation = material.language.say, material.explanation
    offers = offered(explanation, material.visit.client.known_sex)
    lines = [
        capital(next_sentence(offer, explanation.result.verdict))
        for offer in offers
        if _narrows_enough(offer)
    ]
    repeat = explanation.best_repeat
    if is_measured_again(explanation):
        # what a range would gain that nobody should rely on yet comes after the repeats
        lines = [MEASURE_AGAIN, *([ONLY_THEN, *lines] if lines else [])]
    elif repeat is not None and _narrows_enough(repeat) and not explanation.slips:
        site = label(repeat.names[0])
        lines.append(say("staff.repeat", site=site, points=f"{repeat.narrower_by:.1f}"))
    return [Heading(say("staff.next")), Bullets(tuple(lines) or (say("staff.nothing_next"),))]


def _narrows_enough(offer: NextMeasurement) -> bool:
    return round(offer.narrower_by, 1) >= LEAST_NARROWING


def _bands(material: Material) -> list[Part]:
    """The health bands with their chances; then what contradicts what."""
    health = material.result.health
    lines = (*band_lines(material), *health.remarks, *health.apart) if health.bands else ()
    return [Heading(material.language.say("staff.bands")), Bullets(lines)] if lines else []
