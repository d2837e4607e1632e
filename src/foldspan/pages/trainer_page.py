"""Trainer's page: every method and its weight, the reasons, every site, what to measure next."""

from __future__ import annotations

from collections import Counter

from foldspan.explanation.decomposition import turned
from foldspan.external.combine import Placed
from foldspan.pages.client_page import client_bands
from foldspan.pages.document import (
    Bullets,
    Document,
    Heading,
    Notice,
    Paragraph,
    Part,
    Table,
)
from foldspan.pages.inputs import Material
from foldspan.pages.pictures import (
    agreement_picture,
    bands_picture,
    budget_picture,
    in_whole,
    narrowing_picture,
    profile_picture,
    trend_picture,
)
from foldspan.pages.staff_parts import (
    band_lines,
    both_answers,
    change_lines,
    intake_lines,
    methods_table,
    raw_table,
    reference,
    running,
    sites_table,
    who,
)
from foldspan.results.offers import is_measured_again, offered
from foldspan.text.change import (
    CAREFUL,
    repeat_sentence,
    smallest_sentence,
)
from foldspan.text.en.flags import LEVEL_WORDS
from foldspan.text.en.reconcile import (
    FAMILY_NAMES,
    LEFT_OUT_WORDS,
    MEASURE_AGAIN,
    ONLY_THEN,
    REFERENCE_SENTENCES,
    capital,
    verdict_sentence,
)
from foldspan.text.explain import (
    label,
    next_sentence,
    outside_sentences,
    pair_form,
    reads_off_sentence,
    reason_words,
    slip_sentence,
    would_agree_sentence,
)
from foldspan.text.made_with import made_with

MOST_NEEDED = 3


def trainer_page(material: Material) -> Document:
    """Return the page for the trainer."""
    say, result = material.language.say, material.result
    parts: list[Part] = [who(material)]
    if material.is_careful:
        parts.append(Notice(say("staff.cautions"), (CAREFUL,)))
    parts.append(_flags(material))
    if result.has_range:
        parts += _range(material)
        parts += _reasons(material)
        parts += _next(material)
        parts += _change(material)
    else:
        lines = (*both_answers(material), *(problem.sentence() for problem in result.problems))
        parts += [Heading(say("staff.no_range")), Bullets(lines)]
        parts += _change(material) if material.whole is not None else []
    parts += _sites(material)
    if result.bands:
        parts += [Heading(say("staff.bands")), *_bands(material)]
    parts += _equations(material) if result.has_range else []
    parts += [Heading(say("staff.cautions")), Bullets(result.cautions)]
    return Document(
        say("staff.trainer"),
        material.language.code,
        tuple(parts),
        (),
        material.paper,
        running(material),
    )


def _flags(material: Material) -> Notice:
    say = material.language.say
    lines = [
        say(
            "staff.flag",
            level=capital(LEVEL_WORDS[flag.level]), text=flag.text, source=reference(flag.source),
        )
        for flag in material.flags
    ]  # fmt: skip
    lines += intake_lines(material)
    return Notice(say("staff.flags"), tuple(lines) or (say("staff.no_flags"),))


def range_sentences(material: Material) -> list[str]:
    """Return the range, its masses and what the verdict means, of a result that has a range."""
    say, result = material.language.say, material.result
    fat = result.fat_percent
    assert fat.range_80 is not None
    assert fat.range_95 is not None
    wide = in_whole(*fat.range_95)
    lines = [
        say(
            "staff.range_lead",
            **in_whole(*fat.range_80), lowest=wide["low"], highest=wide["high"],
            middle=f"{fat.estimate:.0f}", reference=REFERENCE_SENTENCES[result.reference_method],
        )
    ]  # fmt: skip
    if result.fat_mass_kg.range_80 is not None:
        lines.append(_masses(material))
    lines += [made_with(result)] if made_with(result) else []
    return [*lines, verdict_sentence(result.verdict, result.misfit.inflation)]


def _range(material: Material) -> list[Part]:
    """The range in a sentence, its picture, every family with its weight."""
    say = material.language.say
    lead, *rest = range_sentences(material)
    return [
        Heading(say("staff.range")),
        Paragraph(lead, is_lead=True),
        *map(Paragraph, rest),
        agreement_picture(material, for_client=False),
        methods_table(material),
    ]


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
    """What to measure again first; the furthest pair taken apart; what would make the two agree."""
    say, explanation, units = material.language.say, material.explanation, material.units.of_all()
    parts: list[Part] = []
    slips = [capital(slip_sentence(slip, explanation.typed, units)) for slip in explanation.slips]
    if slips:
        parts.append(Notice(say("staff.again"), tuple(slips)))
    parts.append(Heading(say("staff.why")))
    if explanation.findings:
        parts.append(Bullets(tuple(finding.text for finding in explanation.findings)))
    if explanation.headline is not None:
        pair = turned(explanation.headline)
        high, low = (FAMILY_NAMES.get(name, name) for name in pair.between)
        rows = [
            (capital(reason_words(reason, material.units)), f"{reason.points:+.1f}")
            for reason in pair.reasons
        ]
        rows.append((capital(say("staff.unexplained")), f"{pair.unexplained:+.1f}"))
        title = say(
            "staff.pair",
            high=capital(high),
            low=low,
            points=f"{pair.difference:+.1f}",
            form=pair_form(pair),
            on_reference_method=f"{pair.on_reference_method:+.1f}",
        )
        header = (say("staff.reason"), say("staff.points"))
        parts.append(Table(title, header, tuple(rows), (1,)))
        if reads_off_sentence(pair):
            parts.append(Paragraph(reads_off_sentence(pair)))
        if not (pair.is_ordinary or explanation.result.verdict == "agree"):
            needed = [what_if for what_if in explanation.would_agree if what_if.needed is not None][
                :MOST_NEEDED
            ]
            lines = [would_agree_sentence(what_if, units[what_if.quantity]) for what_if in needed]
            if lines:
                parts.append(Paragraph(say("staff.needed", high=high, low=low)))
                parts.append(Bullets(tuple(map(capital, lines))))
    parts += _outside(material)
    return parts


def _outside(material: Material) -> list[Part]:
    explanation = material.explanation
    if not explanation.outside:
        return []
    pairs: list[tuple[Placed, bool]] = list(
        zip(explanation.outside, explanation.included, strict=True)
    )
    lines = [
        " ".join(
            outside_sentences(
                pair, explanation.result.reference_method, included=joined, units=material.units
            )
        )
        for pair, joined in pairs
    ]
    return [Heading(material.language.say("staff.outside")), Bullets(tuple(lines))]


def _next(material: Material) -> list[Part]:
    """What to measure next with what it would narrow; nothing that many would rather not have."""
    say, explanation = material.language.say, material.explanation
    offers = offered(explanation, material.visit.client.known_sex)
    lines = [capital(next_sentence(offer, explanation.result.verdict)) for offer in offers]
    repeat = explanation.best_repeat
    if is_measured_again(explanation):
        # what a range would gain that nobody should rely on yet comes after the repeats
        lines = [MEASURE_AGAIN, *([ONLY_THEN, *lines] if lines else [])]
    elif repeat is not None and repeat.narrower_by >= 0.05 and not explanation.slips:
        site = label(repeat.names[0])
        lines.append(say("staff.repeat", site=site, points=f"{repeat.narrower_by:.1f}"))
    picture = narrowing_picture(material)
    parts: list[Part] = [
        Heading(say("staff.next")),
        Bullets(tuple(lines) or (say("staff.nothing_next"),)),
    ]
    parts += [] if picture is None else [picture]
    return [*parts, Heading(say("staff.budget")), budget_picture(material)]


def _change(material: Material) -> list[Part]:
    """What changed over the visits that were given, when a repeat makes sense, and the trend."""
    whole, lines = material.whole, change_lines(material)
    if whole is not None:
        is_soon = is_measured_again(material.explanation)
        lines.append((smallest_sentence if is_soon else repeat_sentence)(whole.change))
    if not lines:
        return []
    picture = trend_picture(material)
    raw = raw_table(material)
    parts: list[Part] = [Heading(material.language.say("staff.change")), Bullets(tuple(lines))]
    return [*parts, *(part for part in (picture, raw) if part is not None)]


def _sites(material: Material) -> list[Part]:
    say, visit = material.language.say, material.visit
    parts: list[Part] = [Heading(say("staff.sites"))]
    if visit.accepted:
        own = sum(name in visit.own_errors for name in visit.accepted)
        whose = "staff.own_errors" if own else "staff.published_errors"
        parts += [sites_table(material), Paragraph(say(whose, count=own))]
    if material.not_taken:
        parts.append(Paragraph(say("staff.could_not", what="; ".join(material.not_taken))))
    picture = profile_picture(material)
    return parts if picture is None else [*parts, picture]


def _bands(material: Material) -> list[Part]:
    """The bands of the first page in words, the first of them drawn; then what contradicts what."""
    health = material.result.health
    lines = [*band_lines(material), *health.remarks, *health.apart]
    drawn = client_bands(material)[:1]
    parts: list[Part] = [bands_picture(material, picture) for picture in drawn]
    return [*parts, Bullets(tuple(lines))] if lines else parts


def _equations(material: Material) -> list[Part]:
    """Every equation in use with its source, then how many were left out and why."""
    say, listed = material.language.say, material.result.equations
    rows = [
        (equation.key, f"{equation.estimate:.1f}", f"{equation.se:.1f}", equation.reference_method)
        for equation in listed
        if equation.used and equation.estimate is not None and equation.se is not None
    ]
    why = Counter(code for equation in listed for code in equation.left_out_because)
    header = ("key", "percent", "se", "reference_method")
    table = Table("", tuple(say(f"staff.{name}") for name in header), tuple(rows), (1, 2))
    left = [
        say("staff.left_line", count=count, why=LEFT_OUT_WORDS[code])
        for code, count in why.most_common()
    ]
    return [
        Heading(say("staff.equations")), table, Heading(say("staff.left_out")), Bullets(tuple(left)),
    ]  # fmt: skip
