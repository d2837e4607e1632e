"""Client's page: one page, under 300 words: the range, its picture, chances, masses, change, next steps.

Where careful words are called for it holds no number; where a doctor is needed today, nothing but that.
"""

from __future__ import annotations

from dataclasses import replace

from foldspan.pages.client_changes import client_change, measured_change, weight_change
from foldspan.pages.document import (
    Bullets,
    Document,
    Facts,
    FillIn,
    Heading,
    Notice,
    Paragraph,
    Part,
)
from foldspan.pages.inputs import Material
from foldspan.pages.pictures import (
    agreement_picture,
    bands_picture,
    cited,
    in_100,
    in_whole,
    trend_picture,
)
from foldspan.pages.sanitise import as_typed
from foldspan.quantities import BY_NAME
from foldspan.results.changes_for_client import changes_for_client
from foldspan.results.offers import is_measured_again
from foldspan.results.spoken import SpokenBand
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.text.catalogue import Language, Sentence
from foldspan.text.change import REPEAT_WEEKS
from foldspan.text.client_message import ClientMessage, client_message, how_it_was_made
from foldspan.text.en.reconcile import capital
from foldspan.visit.keys import LONGEST_CODE

OLDER = 65.0
MOST_STEPS, MOST_WORDS = 3, 299
WORTH_TELLING = 0.05
# What is too much for one page is left out in this order, after the reason and what was told elsewhere:
# notices are told by their topics, and never left out; what a reader can ask about goes last.
LEFT_OUT = (
    "sentences", "masses", "girths", "trend", "bands", "measured", "asides", "change",
)  # fmt: skip
# standards that a client is shown, by what they measure: the first that applies; fat on the scale of the
# answer only
CLIENT_STANDARDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("fat_percent", ("gallagher2000", "nhanes2017")),
    ("waist_to_height", ("nice2022_waist",)),
    ("bmi", ("who2007_growth", "winter2014", "nice2023_bmi", "who2000_bmi")),
)


def client_page(material: Material) -> Document:
    """Return the page for the client."""
    message = client_message(
        material.explanation, careful=material.is_careful, flags=material.flags
    )
    short = replace(message, reasons=(), elsewhere=(), offer=())
    page = _page(material, message)
    for shorter, left_out in (
        (replace(message, reasons=()), 0),
        *((short, count) for count in range(len(LEFT_OUT) + 1)),
    ):
        if page.words() <= MOST_WORDS:
            break
        page = _page(material, shorter, LEFT_OUT[:left_out])
    return page


def _page(material: Material, message: ClientMessage, left_out: tuple[str, ...] = ()) -> Document:
    language, is_short = material.language, "sentences" in left_out
    parts: list[Part] = [] if material.is_careful else [_facts(material)]
    parts += _notices(material, message, is_short=is_short)
    parts += _opening(message, language, has_asides="asides" not in left_out)
    small = [language.say("page.screening")]
    if message.has_numbers:
        parts += _pictures(material, left_out)
        parts += [] if "masses" in left_out else _masses(material)
        if "change" not in left_out:
            parts += _change(material, has_picture="trend" not in left_out)
        parts += _measured(material, left_out)
        parts += _next(material, message, most=2 if "asides" in left_out else MOST_STEPS)
        small = [*_small(material, left_out), *small]
    elif any(sentence.key == "both_sexes" for sentence in message.opening):
        parts += _change_of_no_equation(material)
    parts += _end(material, message, is_short=is_short)
    title = language.say("page.title_careful" if material.is_careful else "page.title")
    return Document(title, language.code, tuple(parts), tuple(small), material.paper)


def _facts(material: Material) -> Facts:
    visit, say = material.visit, material.language.say
    day = "" if visit.day is None else material.language.day(visit.day, material.units.system)
    rows = (
        (say("page.day"), day),
        (say("page.tester"), _shortened(visit.tester)),
        (say("page.code"), _shortened(visit.client.code)),
    )
    return Facts(tuple((name, value) for name, value in rows if value))


def _shortened(typed: str) -> str:
    """Return a typed text that leaves room for the page; a visit file allows no longer one."""
    text = as_typed(typed)
    return text if len(text) <= LONGEST_CODE else f"{text[: LONGEST_CODE - 1]}…"


def _notices(material: Material, message: ClientMessage, *, is_short: bool) -> list[Part]:
    """What comes before everything else: whom to see and how soon, and the numbers to call."""
    language, practice = material.language, material.practice
    parts: list[Part] = []
    for notice in message.notices:
        if notice.soon != "reading":
            lines = _texts(language, notice.shown(is_short=is_short))
            title = language.say(f"notice.{notice.soon}")
            parts.append(Notice(title, tuple(map(capital, lines))))
    calls = _calls(message)
    if calls:
        urgent = sum(notice.soon in ("now", "today") for notice in message.notices)
        labels = tuple(language.say(f"fill_in.{call}") for call in calls)
        # a doctor's number and a crisis line are nobody's but the reader's place: lines to fill in
        known = {} if practice is None else {"now": as_typed(practice.emergency_number)}
        numbers = tuple(known.get(call, "") for call in calls)
        parts.insert(urgent, FillIn(labels, numbers))
    return parts


def _calls(message: ClientMessage) -> list[str]:
    """Whose number stands on the page to be filled in, where somebody has to be called today."""
    keys = {notice.soon: [key for key, _ in notice.keys] for notice in message.notices}
    calls: list[str] = [soon for soon in ("now", "today") if soon in keys]
    if "flag.self_harm" in keys.get("now", []):
        calls.insert(1, "crisis")
    return calls


def _opening(message: ClientMessage, language: Language, *, has_asides: bool) -> list[Part]:
    """What the page is there to say: the range, or that there is none."""
    parts: list[Part] = []
    if message.opening:
        lead, rest_of_it = language.say(message.opening[0]), ""
        if not message.has_numbers:  # of several sentences the first alone leads
            lead, point, rest_of_it = lead.partition(". ")
            lead += point.strip()
        parts.append(Paragraph(lead, is_lead=True))
        if rest_of_it:
            parts.append(Paragraph(rest_of_it))
        # shorter than a talk: why it is a range in a few words, and no reason that is none
        sentences = [
            Sentence("page.why") if sentence.key == "why_range" else sentence
            for sentence in message.opening[1:]
        ]
        sentences = (
            sentences
            if has_asides
            else [sentence for sentence in sentences if sentence.key != "page.why"]
        )
        rest = [
            *sentences,
            *(sentence for sentence in message.reasons[:1] if sentence.key != "reason.none"),
            *message.elsewhere,
        ]
        if rest:
            parts.append(Paragraph(language.text(rest)))
    return parts


def _texts(language: Language, sentences: tuple[Sentence, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(language.say(sentence) for sentence in sentences))


def client_bands(material: Material) -> list[SpokenBand]:
    """Return the standards that the client is shown, at most one of each measure."""
    found, hidden = [], _not_shown(material)
    for measure, starts in CLIENT_STANDARDS:
        fitting = [
            band
            for start in starts
            for band in material.result.bands
            if band.standard.startswith(start)
            and band.measure == measure
            and band.reference_method in ("", material.result.reference_method)
        ]
        if fitting and measure not in hidden:
            found.append(fitting[0])
    return found


def _not_shown(material: Material) -> set[str]:
    """Return measures that would mislead this client, or reassure against what a doctor should see."""
    codes = {flag.code for flag in material.flags}
    ladders = {RULE_BY_CODE[code].ladder for code in codes}
    hidden: set[str] = set()
    if material.visit.client.athlete or "strong_build" in codes or ladders & {"loss", "low_weight"}:
        hidden.add("bmi")
    if material.visit.client.athlete:  # the bands of fat were not made for trained bodies
        hidden.add("fat_percent")
    # where weight is low nothing is told against limits of what would be too much
    return {standard for standard, _ in CLIENT_STANDARDS} if "low_weight" in ladders else hidden


def _pictures(material: Material, left_out: tuple[str, ...]) -> list[Part]:
    """The agreement, then the bands: one drawn, the others as chances.

    A page with a trend has no room for the bands as a picture too: all are told as chances.
    """
    language, bands = material.language, [] if "bands" in left_out else client_bands(material)
    drawn = [] if trend_picture(material) is not None else bands[:1]
    beside = drawn[0] if drawn else None
    agreement = agreement_picture(material, for_client=True, beside=beside)
    parts: list[Part] = [replace(agreement, caption="") if "asides" in left_out else agreement]
    if bands:
        parts.append(Heading(language.say("page.bands")))
    parts += [bands_picture(material, text) for text in drawn]
    if bands[len(drawn) :]:
        parts.append(Bullets(tuple(_chances(language, band) for band in bands[len(drawn) :])))
    return parts


def _chances(language: Language, band: SpokenBand) -> str:
    chances = [  # from low to high, as on a picture
        language.say(
            "page.chance", band=language.say(f"band.{code}"), chance=in_100(language, chance)
        )
        for code, chance in band.probabilities.items()
        if chance >= WORTH_TELLING
    ]
    measure = language.say(f"measure.{band.measure}")
    return language.say("page.band", measure=measure, chances="; ".join(chances))


def _masses(material: Material) -> list[Part]:
    language, result = material.language, material.result
    fat, lean = result.fat_mass_kg.range_80, result.fat_free_mass_kg.range_80
    if fat is None or lean is None:
        return []
    per, unit = material.units.per_mass, material.units.mass
    weight = material.visit.accepted["weight_kg"].value
    fat_ends, lean_ends = (
        {"low": language.number(in_whole(mass[0] / per, mass[1] / per)["low"]),
         "high": f"{language.number(in_whole(mass[0] / per, mass[1] / per)['high'])} {unit}"}
        for mass in (fat, lean)
    )  # fmt: skip
    masses = (
        Sentence("page.fat_mass", {"weight": material.mass(weight), **fat_ends}),
        Sentence("page.fat_free_mass", lean_ends),
    )
    return [Heading(language.say("page.masses")), Paragraph(language.text(masses))]


def _change(material: Material, *, has_picture: bool) -> list[Part]:
    """What changed and is real, or what can be said of the last step; over days a picture too."""
    if not material.steps:
        return []
    language = material.language
    result = material.whole if material.whole is not None else material.steps[-1]
    lines = [client_change(material, change) for change in changes_for_client(result)]
    parts: list[Part] = [Heading(language.say("page.change")), *map(Paragraph, lines)]
    picture = trend_picture(material) if has_picture else None
    return parts if picture is None else [*parts, picture]


def _change_of_no_equation(material: Material) -> list[Part]:
    """What changed of weight, folds and tape measures, where two answers stand side by side."""
    told = [weight_change(material), measured_change(material)]
    parts: list[Part] = [Paragraph(text) for text in told if text]
    return [Heading(material.language.say("page.change")), *parts] if parts else []


def _measured(material: Material, left_out: tuple[str, ...]) -> list[Part]:
    """What changed of folds and tape measures, which need no equation."""
    if "measured" in left_out:
        return []
    change = measured_change(material, only_main="girths" in left_out)
    return [Paragraph(change)] if change else []


def _next(material: Material, message: ClientMessage, *, most: int) -> list[Part]:
    language = material.language
    doctor = message.sees_a_doctor
    first = [Sentence(f"page.first_{doctor}")] if doctor else list(message.offer)
    repeat = "page.repeat_then" if doctor else "page.repeat"
    if is_measured_again(material.explanation):
        repeat = "page.repeat_soon"  # weeks would leave a number that nobody should rely on
    steps = [*first, Sentence(repeat, {"weeks": str(REPEAT_WEEKS)}), Sentence("page.ask")][:most]
    return [Heading(language.say("page.next")), Bullets(_texts(language, tuple(steps)))]


def _end(material: Material, message: ClientMessage, *, is_short: bool) -> list[Part]:
    """Cautions that always stand at the end, and what the measuring had to take care of."""
    language = material.language
    sentences = [
        Sentence("page.end") if sentence.key == "end" else sentence for sentence in message.end
    ]
    for notice in message.notices:
        if notice.soon == "reading":
            sentences = [*notice.in_words(is_short=is_short), *sentences]
    if message.has_numbers and material.visit.client.age_years >= OLDER:
        sentences.insert(0, Sentence("page.strength"))
    lines = _texts(language, tuple(sentences))
    if not lines:
        return []
    if message.has_numbers:
        return [Notice(language.say("page.to_know"), lines)]
    return [Paragraph(" ".join(lines))]


def _small(material: Material, left_out: tuple[str, ...]) -> list[str]:
    """What was measured, on which scale, and whose bands were told."""
    language, accepted = material.language, material.visit.accepted
    local = list(map(language.say, how_it_was_made(material.result)))
    if "asides" in left_out:
        return local
    kinds = [BY_NAME[name].kind for name in accepted]
    counted = []
    for kind, several, key in (
        ("skinfold", "page.folds", "page.one_fold"),
        ("girth", "page.girths", "page.one_girth"),
        ("breadth", "page.breadths", "page.one_breadth"),
    ):
        count = kinds.count(kind)  # type: ignore[arg-type]
        if count:
            counted.append(language.say(key if count == 1 else several, count=count))
    counted += [
        language.say(f"page.{name}") for name in ("weight", "height")
        if any(known.startswith(f"{name}_") for known in accepted)
    ]  # fmt: skip
    names = [
        language.say("page.not_verified", name=cited(band))
        if band.status == "not verified in print"
        else cited(band)
        for band in ([] if "bands" in left_out else client_bands(material))
    ]
    lines = [
        language.say("page.measured", what=", ".join(counted)),
        language.say(
            "page.scale", reference_method=language.say(f"scale.{material.result.reference_method}")
        ),
        *local,
    ]
    return lines + ([language.say("page.sources", names=", ".join(names))] if names else [])
