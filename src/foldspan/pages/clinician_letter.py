"""Letter to a clinician about a visit: what is asked, how soon, and what was found, each thing once."""

from __future__ import annotations

from collections.abc import Iterable

from foldspan.pages.document import Bullets, Document, Facts, Heading, Part
from foldspan.pages.inputs import Material
from foldspan.pages.letter_reasons import RuleMet, key_of, reasons_of
from foldspan.pages.letter_sheet import Letter, sheet
from foldspan.pages.pictures import in_whole
from foldspan.pages.sanitise import as_typed
from foldspan.pages.staff_parts import both_answers, change_lines, raw_lines
from foldspan.problems import Problem
from foldspan.quantities import BY_NAME
from foldspan.results.flag_grounds import pressure_ground, weight_changed
from foldspan.results.intake_answers import answers_of, in_state
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.text.en.reconcile import REFERENCE_NAMES, capital, verdict_sentence
from foldspan.text.en.self_reported import QUESTION_NAMES
from foldspan.text.made_with import made_with
from foldspan.text.self_reported import answer_words, asked_lines, weight_words


def clinician_letter(material: Material) -> Document:
    """Return the letter; whether the client agreed to share it stands on it."""
    say, visit = material.language.say, material.visit
    met = tuple(
        RuleMet(RULE_BY_CODE[flag.code], flag.grounds, flag.chance) for flag in material.flags
    )
    reasons, in_reasons = reasons_of(material.language, met, _in_full(material))
    client = visit.client
    about = (say("staff.years", years=int(client.age_years)), say(f"staff.{client.sex}"))
    used = made_with(material.result) if material.result.has_range else ""
    return sheet(
        Letter(
            language=material.language,
            practice=material.practice,
            paper=material.paper,
            code=client.code,
            tester=visit.tester,
            day=visit.day,
            about=", ".join((*about, *([say("staff.athlete").lower()] if client.athlete else []))),
            is_estimated=_is_estimated(material),
            met=met,
            reasons=tuple(reasons),
            findings=tuple(_findings(material, in_reasons)),
            is_careful=material.is_careful,
            agreed=bool(material.agreed),
            agreed_anew=material.agreed_anew,
            units=material.units.system,
            remarks=(used,),
        )
    )


def _in_full(material: Material) -> dict[str, str]:
    """A change of weight with both weights and their days, a pressure with how it is known."""
    visit, words = material.visit, weight_words(material.visit, material.units)
    shown = {key_of(ground): f"weight {words}" for ground in weight_changed(visit)}
    if visit.intake.pressure_mmhg is not None:
        ground = pressure_ground(visit.intake.pressure_mmhg)
        shown[key_of(ground)] = material.language.say("letter.pressure", pressure=ground.text)
    return shown


def _findings(material: Material, in_reasons: set[str]) -> list[Part]:
    """What was told and measured beside the reasons, what is in doubt, and what is not known."""
    say, visit = material.language.say, material.visit
    parts: list[Part] = []
    notes = tuple((say("staff.note"), as_typed(note)) for note in material.notes)
    parts += [Facts(notes)] if notes else []
    reported = _reported(material, in_reasons)
    if reported:
        parts += [Heading(say("letter.self_reported")), Bullets(tuple(reported))]
    measured = [*_sizes(material, in_reasons), *_range(material)]
    day = visit.day and material.language.day(visit.day, material.units.system)
    title = say("letter.measured", day=day) if day else say("letter.measured_no_day")
    parts += [Heading(title), Bullets(tuple(measured))]
    changed = (change_lines(material, with_breaks=False), raw_lines(material))
    if any(changed):
        lines = tuple(" ".join(sentences) for sentences in changed if sentences)
        parts += [Heading(say("letter.change")), Bullets(lines)]
    if visit.doubts:
        parts += [Heading(say("letter.in_doubt")), Bullets(_doubts(visit.doubts))]
    return [*parts, Heading(say("letter.not_known")), Bullets(tuple(_not_known(material)))]


def _answered(material: Material, in_reasons: set[str]) -> set[str]:
    """Questions whose answers in numbers stand among the reasons already."""
    intake = material.visit.intake
    pressure = intake.pressure_mmhg
    found = (
        {"blood_pressure_mmhg"}
        if pressure and key_of(pressure_ground(pressure)) in in_reasons
        else set()
    )
    weights = {key_of(ground) for ground in weight_changed(material.visit)}
    return found | ({"earlier_weight_kg"} if weights & in_reasons else set())


def _reported(material: Material, in_reasons: set[str]) -> list[str]:
    """What the client told, question by question, without what stands among the reasons already."""
    visit, lines = material.visit, []
    # training stands beside the age
    elsewhere = {"athlete"} | _answered(material, in_reasons)
    for answer in answers_of(visit):
        words = answer_words(answer, visit, material.units, without=in_reasons | elsewhere)
        if words:
            lines.append(f"{capital(QUESTION_NAMES[answer.question])}: {words}.")
    none = in_state(answers_of(visit), "none")
    return [*lines, *asked_lines(none, ())]


def _sizes(material: Material, in_reasons: set[str]) -> list[str]:
    """Weight, height and girths in one line, skinfolds in another: the values used."""
    say, visit, units = material.language.say, material.visit, material.units
    shown: dict[bool, list[str]] = {True: [], False: []}
    for name, quantity in BY_NAME.items():
        if name in visit.accepted:
            reading = visit.accepted[name]
            digits = 2 if units.unit_of(name) == "in" else 1
            value = f"{units.shown(name, reading.value):.{digits}f} {units.unit_of(name)}"
            label = quantity.label.removesuffix(" skinfold").removesuffix(" girth")
            is_fold = quantity.kind == "skinfold"
            shown[is_fold].append(f"{label} {value}{'+' if reading.is_at_least else ''}")
            if name == "height_cm" and (bmi := _bmi(material, in_reasons)):
                shown[is_fold].append(say("letter.bmi", bmi=bmi))
    lines = [say("letter.sizes", sizes=capital(", ".join(shown[False])))] if shown[False] else []
    return lines + (
        [say("letter.folds", folds=", ".join(shown[True]).lower())] if shown[True] else []
    )


def _bmi(material: Material, in_reasons: set[str]) -> str:
    """What a doctor works out first; "" where a reason tells it, and in a pregnancy."""
    is_in_reason = any(key.startswith("bmi") for key in in_reasons)
    if material.bmi is None or is_in_reason or material.visit.client.pregnant:
        return ""
    return f"{material.bmi:.1f}"


def _is_estimated(material: Material) -> bool:
    """Whether the letter gives a range, by the equations for one sex at least."""
    result = material.result
    return result.has_range or any(of_sex.has_range for _, of_sex in result.by_sex)


def _range(material: Material) -> list[str]:
    say, result = material.language.say, material.result
    if not result.has_range:
        why = (say("letter.no_range", why=f"{problem.what}.") for problem in result.problems)
        return [*both_answers(material), *why]
    fat, mass = result.fat_percent, result.fat_mass_kg.range_80
    assert fat.range_80 is not None
    lines = [
        say(
            "letter.range", **in_whole(*fat.range_80), middle=f"{fat.estimate:.0f}",
            reference_method=REFERENCE_NAMES[result.reference_method],
        )
    ]  # fmt: skip
    if mass is not None:
        per, unit = material.units.per_mass, material.units.mass
        ends = in_whole(mass[0] / per, mass[1] / per)
        lines.append(say("letter.mass", low=ends["low"], high=f"{ends['high']} {unit}"))
    lines.append(verdict_sentence(result.verdict, result.misfit.inflation))
    # rules on little fat go by underwater weighing, whatever the answer stands on
    grounds = {ground.code for flag in material.flags for ground in flag.grounds}
    if result.reference_method == "dxa" and "fat_range" in grounds:
        lines.append(say("letter.other_reference"))
    return [" ".join(lines)]


def _doubts(doubts: Iterable[Problem]) -> tuple[str, ...]:
    """What is in doubt about the measurements, each doubt once with all that it is about."""
    found: dict[str, list[str]] = {}
    for doubt in doubts:
        found.setdefault(f"{doubt.what}. {doubt.advice()}", []).append(_place_of(doubt))
    return tuple(
        f"{capital('; '.join(dict.fromkeys(places)))}: {words}" for words, places in found.items()
    )


def _place_of(problem: Problem) -> str:
    """Return where a doubt lies in the visit, without the file's name."""
    names = problem.where.rsplit(": ", 1)[-1].split(", ")
    return ", ".join(BY_NAME[name].label if name in BY_NAME else name for name in names)


def _not_known(material: Material) -> list[str]:
    say, visit, lines = material.language.say, material.visit, []
    if not material.was_asked:
        lines.append(say("staff.nothing_asked"))
    else:
        lines += asked_lines((), in_state(answers_of(visit), "not_asked"))
    if material.not_taken:
        lines.append(say("staff.could_not", what="; ".join(material.not_taken)))
    no_pressure = visit.intake.pressure_mmhg is None
    last = [say("staff.no_pressure")] if no_pressure else []
    return [*lines, " ".join([*last, say("letter.no_lab")])]
