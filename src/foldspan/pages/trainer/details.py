"""Second page of the trainer's sheet: sites with centiles, changes, notes, what was told, sources."""

from __future__ import annotations

from dataclasses import replace

from foldspan.measurement.accepted_values import Accepted
from foldspan.pages.document import Bullets, Facts, Heading, Paragraph, Part, Table
from foldspan.pages.inputs import Material
from foldspan.pages.pictures import trend_picture
from foldspan.pages.sanitise import as_typed
from foldspan.pages.staff_parts import (
    SOURCE_BY_KEY,
    cautions_of,
    intake_lines,
    left_out_lines,
    raw_table,
    remarks_of,
)
from foldspan.pages.trainer.centiles import centile_words, compared_with
from foldspan.quantities import BY_NAME
from foldspan.results.intake_answers import answers_of
from foldspan.results.offers import is_measured_again
from foldspan.text.change import (
    SEVERAL_AT_ONCE,
    SIDE_BY_SIDE,
    break_sentences,
    cancel_sentence,
    chance_sentence,
    course_sentences,
    fat_sentences,
    mass_changes,
    raw_sentence,
    repeat_sentence,
    smallest_sentence,
    span_words,
)
from foldspan.text.en.health import is_main
from foldspan.text.en.reconcile import MEASURE_AGAIN, capital
from foldspan.text.en.self_reported import QUESTION_NAMES
from foldspan.text.self_reported import answer_words

# no source of their own
UNSOURCED = ("ours", "practice")


def details(material: Material) -> list[Part]:
    """Return what stands on the second page, the small print aside."""
    return [*_sites(material), *_notes(material), *_change(material), *_self_reported(material)]


def small_print(material: Material) -> tuple[str, ...]:
    """Return the sources of what the sheet says, then what to know before going by it."""
    say, result = material.language.say, material.result
    keys = [flag.source for flag in material.flags]
    keys += [band.source for band in result.bands if is_main(band.standard, band.probabilities)]
    cited = [SOURCE_BY_KEY[key] for key in dict.fromkeys(keys) if key not in UNSOURCED]
    lines = [say("sheet.source", citation=source.citation) for source in cited]
    lines += [say("sheet.survey")] if compared_with(material) else []
    sources = [say("sheet.sources", sources=" ".join(lines))] if lines else []
    more = [] if material.is_full or not result.has_range else [say("sheet.full")]
    return (*sources, " ".join([*cautions_of(material, general=True), *more]))


def _sites(material: Material) -> list[Part]:
    """Return every site with its readings, their error and its centile."""
    say, visit = material.language.say, material.visit
    parts: list[Part] = [Heading(say("sheet.sites"), starts_sheet=True)]
    if not visit.accepted:
        return parts
    parts.append(_table(material))
    remarks = [
        say("sheet.remark", site=BY_NAME[name].label, remark=", ".join(found))
        for name, reading in visit.accepted.items()
        if (found := remarks_of(material, reading))
    ]
    if remarks:
        parts.append(Paragraph(say("sheet.remarks", remarks=capital("; ".join(remarks)))))
    return parts


def _table(material: Material) -> Table:
    say, visit, compared = material.language.say, material.visit, compared_with(material)
    own = sum(name in visit.own_errors for name in visit.accepted)
    whose = "staff.own_errors" if own else "staff.published_errors"
    means = say("sheet.centiles_mean", people=compared) if compared else say("sheet.no_centiles")
    rows = []
    for name in BY_NAME:
        if name in visit.accepted:
            rows.append(_row(material, visit.accepted[name]))
        if name == "height_cm" and material.bmi is not None:
            rows.append(_bmi_row(material, material.bmi))
    header = ("site", "readings", "accepted", "reading_se")
    names = (*(say(f"staff.{name}") for name in header), say("sheet.centile"))
    note = f"{means} {say(whose, count=own)}"
    return Table("", names, tuple(rows), (1, 2, 3), note, is_dense=True)


def _row(material: Material, reading: Accepted) -> tuple[str, ...]:
    units, name = material.units, reading.name
    digits = 2 if units.unit_of(name) == "in" else 1
    beyond = "+" if reading.is_at_least else ""
    readings = [
        f"{units.shown(name, x):.{digits}f}{beyond}" for x in material.visit.sites[name].readings
    ]
    accepted, se = (f"{units.shown(name, x):.{digits}f}" for x in (reading.value, reading.se))
    return (
        capital(BY_NAME[name].label),
        ", ".join(readings),
        f"{accepted} {units.unit_of(name)}",
        se,
        centile_words(material, name),
    )


def _bmi_row(material: Material, bmi: float) -> tuple[str, ...]:
    say = material.language.say
    return (
        say("sheet.bmi"), say("sheet.bmi_from"), f"{bmi:.1f} kg/m²", "",
        centile_words(material, "bmi"),
    )  # fmt: skip


def _notes(material: Material) -> list[Part]:
    """Return what was noted, what was not taken, and under which conditions it was measured."""
    say, visit = material.language.say, material.visit
    rows = [
        (say(f"sheet.{name}"), say(f"sheet.{name}_{'yes' if is_so else 'no'}"))
        for name, is_so in material.prepared.items()
    ]
    if visit.hour is not None:
        minutes = round(visit.hour * 60.0)
        rows.append((say("sheet.hour"), f"{minutes // 60:02}:{minutes % 60:02}"))
    if visit.how_taken.scale_step_mm:
        step = f"{visit.how_taken.scale_step_mm:g}"
        rows.append((say("sheet.step"), say("sheet.marks_of", step=step)))
    if material.not_taken:
        rows.append((say("sheet.not_taken"), "; ".join(material.not_taken)))
    rows += [(say("staff.note"), as_typed(note)) for note in material.notes]
    if not rows:
        return []
    return [Heading(say("sheet.notes")), Facts(tuple(rows))]


def _change(material: Material) -> list[Part]:
    """Return what changed over the visits given, as ``change`` prints it, and its picture."""
    lines = left_out_lines(material)
    whole = material.whole
    if whole is not None:
        lines += [*_days(material), *_changed(material), *course_sentences(whole)]
    if not lines:
        return []
    parts: list[Part] = [Heading(material.language.say("staff.change"))]
    parts.append(Bullets((*lines, *_advice(material))))
    picture, raw = trend_picture(material), raw_table(material)
    rests_on = _rests_on(material, has_raw=raw is not None)
    if raw is not None:
        raw, rests_on = replace(raw, note=rests_on), ""
    parts += [part for part in (picture, raw) if part is not None]
    return [*parts, Paragraph(rests_on)] if rests_on else parts


def _days(material: Material) -> list[str]:
    say = material.language.say
    first = material.earlier[0][0].day or say("staff.first_visit")
    last = material.visit.day or say("staff.this_visit")
    return [say("staff.since", earlier=str(first), later=str(last))]


def _changed(material: Material) -> list[str]:
    """Return whether body fat changed, and from where to where fat and the masses went."""
    whole, say, unit = material.whole, material.language.say, material.units.mass
    assert whole is not None
    lines = [SIDE_BY_SIDE, *fat_sentences(whole)] if whole.by_sex else []
    percent = whole.change.percent
    if percent is not None:
        span = say(
            "sheet.from_to", what=say("staff.body_fat"), real="",
            earlier=f"{percent.earlier:.1f}%", later=f"{percent.later:.1f}%",
            span=span_words(percent, say("staff.points")),
        )  # fmt: skip
        lines.append(f"{chance_sentence(percent, 'body fat', whole.change)} {span}")
    for name, difference, real in mass_changes(whole.change, material.units):
        ends = {
            "earlier": f"{difference.earlier:.1f} {unit}",
            "later": f"{difference.later:.1f} {unit}",
        }
        span = span_words(difference, unit)
        lines.append(say("sheet.from_to", what=capital(name), span=span, real=real, **ends))
    return lines


def _advice(material: Material) -> list[str]:
    """Return what breaks the comparison, and when to measure again."""
    whole = material.whole
    if whole is None:
        return []
    breaks = break_sentences(whole.change, whole.trend)
    if is_measured_again(material.explanation) or whole.measure_all_again:
        sentences = (MEASURE_AGAIN, *breaks, smallest_sentence(whole.change))
    else:
        sentences = (*breaks, repeat_sentence(whole.change))
    return [sentence for sentence in sentences if sentence]


def _rests_on(material: Material, *, has_raw: bool) -> str:
    """Return what the changes rest on, "" where there are none."""
    whole = material.whole
    if whole is None:
        return ""
    said = [material.language.say("sheet.mdc"), raw_sentence(whole.change)] if has_raw else []
    said += [SEVERAL_AT_ONCE] if whole.by_sex and whole.step is not None else []
    said += [cancel_sentence(whole.change)] if whole.change.percent is not None else []
    return " ".join(said)


def _self_reported(material: Material) -> list[Part]:
    """Return what the client told, question by question, and what was not asked."""
    say, visit = material.language.say, material.visit
    if not material.was_asked:  # the flags of the first page say so
        return []
    answers = [
        say("sheet.told_line", question=capital(QUESTION_NAMES[answer.question]), answer=words)
        for answer in answers_of(visit)
        if (words := answer_words(answer, visit, material.units))
    ]
    return [Heading(say("sheet.told")), Bullets((*answers, *intake_lines(material)))]
