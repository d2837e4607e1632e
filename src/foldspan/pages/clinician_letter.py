"""Letter to a clinician: why referred and by which rule, measures and ranges, consent; no diagnosis."""

from __future__ import annotations

from foldspan.pages.document import (
    Bullets,
    Document,
    Heading,
    Notice,
    Paragraph,
    Part,
    Signature,
    Table,
)
from foldspan.pages.inputs import Material
from foldspan.pages.pictures import agreement_picture
from foldspan.pages.staff_parts import (
    band_lines,
    both_answers,
    change_lines,
    intake_lines,
    methods_table,
    raw_lines,
    reference,
    running,
    sites_table,
    who,
)
from foldspan.pages.trainer_page import range_sentences
from foldspan.problems import Problem
from foldspan.quantities import BY_NAME
from foldspan.results.intake_answers import answers_of
from foldspan.results.spoken import SpokenFlag
from foldspan.text.en.health import SCALE_IN_SHORT
from foldspan.text.en.notices import how_soon, soonest
from foldspan.text.en.reconcile import FAMILY_NAMES, capital
from foldspan.text.en.self_reported import QUESTION_NAMES
from foldspan.text.self_reported import answer_words


def clinician_letter(material: Material) -> Document:
    """Return the letter; whether the client agreed to share it stands on it."""
    say, result = material.language.say, material.result
    flags = material.flags
    referring = [(flag.code, flag.level) for flag in flags if flag.level.startswith("refer")]
    parts: list[Part] = [who(material), Paragraph(say("staff.dear"))]
    opening = say("staff.estimated" if _is_estimated(material) else "staff.not_estimated")
    if referring:
        soon = say(f"staff.soon.{soonest(referring)}")
        lead = say("staff.referred", opening=opening, level=soon)
    else:
        lead = say("staff.not_referred", opening=opening)
    parts.append(Paragraph(lead, is_lead=True))
    if flags:
        parts += [
            Heading(say("staff.why_referred" if referring else "staff.to_know")),
            _flags_table(material, flags),
        ]
    parts += _told(material)
    if material.visit.doubts:
        doubts = dict.fromkeys(_doubt(doubt) for doubt in material.visit.doubts)
        parts += [Heading(say("staff.in_doubt")), Bullets(tuple(doubts))]
    parts += _range(material)
    if result.bands:
        parts += [
            Heading(say("staff.bands")),
            Bullets(tuple(band_lines(material, with_source=True))),
        ]
    parts += _other_reference(material)
    changed = change_lines(material) + raw_lines(material)
    if changed:
        parts += [Heading(say("staff.change")), Bullets(tuple(changed))]
    if material.visit.accepted:
        parts += [Heading(say("staff.measures")), sites_table(material)]
    parts += [Heading(say("staff.not_measured")), Bullets(tuple(_not_measured(material)))]
    parts += [Paragraph(say("staff.closing")), *_consent(material)]
    return Document(
        say("staff.clinician"),
        material.language.code,
        tuple(parts),
        (),
        material.paper,
        running(material),
    )


def _doubt(problem: Problem) -> str:
    """What is in doubt about the measurements, by the place in the visit and without the file's name."""
    names = problem.where.rsplit(": ", 1)[-1].split(", ")
    where = ", ".join(BY_NAME[name].label if name in BY_NAME else name for name in names)
    return capital(f"{where}: {problem.what}. {problem.advice()}")


def _flags_table(material: Material, flags: tuple[SpokenFlag, ...]) -> Table:
    say = material.language.say
    rows = tuple(
        (
            capital(say(f"staff.soon.{how_soon(flag.code, flag.level)}")),
            flag.for_clinician,
            say("staff.status", source=reference(flag.source), status=flag.status),
        )
        for flag in flags
    )
    header = tuple(say(f"staff.{name}") for name in ("how_soon", "rule", "source"))
    return Table("", header, rows)


def _is_estimated(material: Material) -> bool:
    """Whether the letter gives a range, by the equations for one sex at least."""
    result = material.result
    return result.has_range or any(of_sex.has_range for _, of_sex in result.by_sex)


def _range(material: Material) -> list[Part]:
    say, result = material.language.say, material.result
    if not result.has_range:
        why = (f"{capital(problem.what)}." for problem in result.problems)
        lines = (*both_answers(material), *why)
        return [Heading(say("staff.no_range")), Bullets(lines)]
    return [
        Heading(say("staff.range")),
        *(Paragraph(text) for text in range_sentences(material)),
        agreement_picture(material, for_client=False),
        methods_table(material),
    ]


def _other_reference(material: Material) -> list[Part]:
    """Why a line gives another body-fat percentage than the range, where one does."""
    result = material.result
    other = "density" if result.reference_method == "dxa" else "dxa"
    word = SCALE_IN_SHORT[other]
    said = [flag.for_clinician for flag in material.flags] + band_lines(material)
    if not result.has_range or not any(word in line for line in said):
        return []
    lower = "lower" if other == "density" else "higher"
    return [Paragraph(material.language.say("staff.other_reference", other=word, lower=lower))]


def _not_measured(material: Material) -> list[str]:
    say, visit, result = material.language.say, material.visit, material.result
    spoken = {family.method for family in result.methods}
    lines = [
        say("staff.not_family", family=capital(name), why=say(f"staff.{result.why_silent(family)}"))
        for family, name in FAMILY_NAMES.items()
        if family not in spoken and result.has_range  # where no method holds, it is told above
    ]
    if material.not_taken:
        lines.append(say("staff.could_not", what="; ".join(material.not_taken)))
    if visit.intake.pressure_mmhg is None:
        lines.append(say("staff.no_pressure"))
    return [*lines, say("staff.no_lab")]


def _told(material: Material) -> list[Part]:
    """What the client told, question by question, and what was not asked."""
    say, visit = material.language.say, material.visit
    lines = [
        f"{capital(QUESTION_NAMES[answer.question])}: {words}."
        for answer in answers_of(visit)
        if (words := answer_words(answer, visit, material.units))
    ]
    return [Heading(say("staff.told")), Bullets((*lines, *intake_lines(material)))]


def _consent(material: Material) -> list[Part]:
    say = material.language.say
    key = (
        "ask_first" if not material.agreed else "agreed_anew" if material.agreed_anew else "agreed"
    )
    labels = [] if material.agreed else [say("staff.sign_client")]
    return [
        Notice(say("staff.consent"), (say(f"staff.{key}"),)),
        Signature((*labels, say("staff.sign_sender"))),
    ]
