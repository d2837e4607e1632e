"""Client's page: one sheet, under 250 words: what to do, the range, its dots, change, next steps.

Where careful words are called for it holds no number; where a doctor is needed today, nothing but that.
Chances are told as so many of twenty dots, and in no other way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any, TypeAlias

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
    Picture,
)
from foldspan.pages.dot_plot import dot_picture, zone_sentence
from foldspan.pages.inputs import Material
from foldspan.pages.pictures import agreement_picture, cited, in_whole, trend_picture
from foldspan.pages.sanitise import as_typed
from foldspan.pages.taken_together import taken_together
from foldspan.quantities import BY_NAME, Kind
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
MOST_STEPS, MOST_WORDS, MOST_SITES = 2, 249, 4
# What is too much for one sheet is left out in this order, after the reasons and results from elsewhere:
# notices are told by their topics, and never left out; what a reader can ask about goes last.
LEFT_OUT = (
    "methods", "sources", "girths", "trend", "measured", "masses", "together", "sentences", "change",
    "zones", "verdict",
)  # fmt: skip
# how what was measured is counted, by its kind
COUNTED_AS: tuple[tuple[Kind, str], ...] = (
    ("skinfold", "folds"), ("girth", "girths"), ("breadth", "breadths"),
)  # fmt: skip
# standards that a client is shown, by what they measure: the first that applies; fat by the reference
# method of the answer only
CLIENT_STANDARDS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("fat_percent", ("gallagher2000", "nhanes2017")),
    ("waist_to_height", ("nice2022_waist",)),
    ("bmi", ("who2007_growth", "winter2014", "nice2023_bmi", "who2000_bmi")),
)

LeftOut: TypeAlias = frozenset[str]
Section: TypeAlias = Callable[[Material, ClientMessage, LeftOut], list[Any]]
Kept: TypeAlias = dict[tuple[Section, LeftOut], list[Any]]


def client_page(material: Material) -> Document:
    """Return the page for the client: the fullest that is short enough to be read."""
    return next(client_pages(material))


def client_pages(material: Material) -> Iterator[Document]:
    """Yield the pages that are short enough to be read, from the fullest to the barest."""
    page = None
    for page in _pages(material):
        if page.words() <= MOST_WORDS:
            yield page
    if page is not None and page.words() > MOST_WORDS:  # nothing more can be left out
        yield page


def _pages(material: Material) -> Iterator[Document]:
    message = client_message(
        material.explanation, careful=material.is_careful, flags=material.flags
    )
    yield _page(material, message)
    yield _page(material, replace(message, reasons=()))
    yield _page(material, message, frozenset(LEFT_OUT[:1]))  # not both where one makes room
    short = replace(message, reasons=(), elsewhere=(), offer=())
    kept: Kept = {}
    texts = _fewest_texts(material, short, kept)
    steps = (texts | frozenset(LEFT_OUT[:count]) for count in range(len(LEFT_OUT) + 1))
    for left_out in dict.fromkeys(steps):
        yield _page(material, short, left_out, kept)


def _fewest_texts(material: Material, message: ClientMessage, kept: Kept) -> LeftOut:
    """Return what has to go for the words alone; the ribbon has none, and goes for its room only."""
    texts = [name for name in LEFT_OUT if name != "trend"]
    steps = [frozenset(texts[:count]) for count in range(len(texts) + 1)]
    few = (step for step in steps if _page(material, message, step, kept).words() <= MOST_WORDS)
    return next(few, steps[-1])


def _page(
    material: Material,
    message: ClientMessage,
    left_out: LeftOut = frozenset(),
    kept: Kept | None = None,
) -> Document:
    """Return the page without what is left out; ``kept``: sections of other pages of this message."""
    language, known = material.language, {} if kept is None else kept

    def once(make: Section, *bears_on_it: str) -> list[Any]:
        """Return a section, made anew only where something else that bears on it is left out."""
        key = make, left_out.intersection(bears_on_it)
        if key not in known:
            known[key] = make(material, message, key[1])
        return known[key]

    parts: list[Part] = [] if material.is_careful else [_facts(material)]
    parts += once(_notices, "sentences")
    small = [language.say("page.screening")]
    if message.has_numbers:
        parts += once(_range, "verdict")
        parts += once(_meaning, "masses", "together", "zones")
        parts += once(_change, "girths", "trend", "measured", "change")
        parts += once(_next, "verdict")
        parts += once(_end, "sentences")
        has_trend = any(isinstance(part, Picture) and part.name == "trend" for part in parts)
        # a sheet has room for two pictures
        parts += [] if has_trend or "methods" in left_out else once(_methods)
        small = [*once(_small, "sources"), *small]
    else:
        parts += _opening(message, language)
        if any(sentence.key == "both_sexes" for sentence in message.opening):
            parts += _change_of_no_equation(material)
        parts += once(_end, "sentences")
    parts += _contact(material)
    title = language.say("page.title_careful" if material.is_careful else "page.title")
    return Document(title, language.code, tuple(parts), tuple(small), material.paper, is_large=True)


def _facts(material: Material) -> Facts:
    visit, say = material.visit, material.language.say
    day = "" if visit.day is None else material.language.day(visit.day, material.units.system)
    rows = (
        (say("page.day"), day),
        (say("page.tester"), _shortened(visit.tester)),
        (say("page.code"), _shortened(visit.client.code)),
    )
    return Facts(tuple((name, value) for name, value in rows if value))


def _contact(material: Material) -> list[Part]:
    """Who can be asked: the practice as its settings name it."""
    practice = material.practice
    if practice is None:
        return []
    known = [
        as_typed(text) for text in (practice.name, practice.address, practice.telephone) if text
    ]
    return [Facts(((material.language.say("page.contact"), ", ".join(known)),))] if known else []


def _shortened(typed: str) -> str:
    """Return a typed text that leaves room for the page; a visit file allows no longer one."""
    text = as_typed(typed)
    return text if len(text) <= LONGEST_CODE else f"{text[: LONGEST_CODE - 1]}…"


def _notices(material: Material, message: ClientMessage, left_out: LeftOut) -> list[Part]:
    """What comes before everything else: whom to see and how soon, and the numbers to call."""
    language, practice = material.language, material.practice
    is_short = "sentences" in left_out
    parts: list[Part] = []
    for notice in message.notices:
        if notice.soon != "reading":
            lines = _texts(language, notice.shown(is_short=is_short))
            title = language.say(f"notice.{notice.soon}")
            parts.append(Notice(title, tuple(map(capital, lines))))
    calls = _calls(message)
    if calls:
        # below what it is for: what cannot wait, or else the appointment to be made
        whose = ("days", "weeks") if calls == ["doctor"] else ("now", "today")
        below = sum(notice.soon in whose for notice in message.notices)
        labels = tuple(language.say(f"fill_in.{call}") for call in calls)
        # a doctor's number and a crisis line are nobody's but the reader's place: lines to fill in
        known = {} if practice is None else {"now": as_typed(practice.emergency_number)}
        numbers = tuple(known.get(call, "") for call in calls)
        parts.insert(below, FillIn(labels, numbers))
    return parts


def _calls(message: ClientMessage) -> list[str]:
    """Whose number stands on the page to be filled in, where somebody has to be called."""
    keys = {notice.soon: [key for key, _ in notice.keys] for notice in message.notices}
    calls: list[str] = [soon for soon in ("now", "today") if soon in keys]
    if "flag.self_harm" in keys.get("now", []):
        calls.insert(1, "crisis")
    return calls or ["doctor"] * bool({"days", "weeks"} & keys.keys())


def _opening(message: ClientMessage, language: Language) -> list[Part]:
    """What a page without numbers is there to say: its first sentence leads."""
    if not message.opening:
        return []
    first, *more = message.opening
    parts: list[Part] = [Paragraph(language.say(first), is_lead=True)]
    return [*parts, Paragraph(language.text(more))] if more else parts


def _range(material: Material, message: ClientMessage, left_out: LeftOut) -> list[Part]:
    """The range in one line and as dots; where methods disagree, what to measure again instead."""
    language, ends = material.language, message.opening[0].values
    said = [*message.reasons[:1], *message.elsewhere]
    said = [sentence for sentence in said if sentence.key != "reason.none"]
    band = fat_band(material)
    parts: list[Part] = [Paragraph(language.say("page.read_or_not"))]
    if is_measured_again(material.explanation):
        band, lead = None, Sentence("page.apart")
        said = [Sentence("page.until_then", ends), Sentence("page.dots"), *said]
        first = _again(material)
    else:
        lead, first = Sentence("page.lead", ends), Sentence("page.dots")
        said = [message.opening[-1], *said]
    sentences = [first, *([] if "verdict" in left_out else said)]
    parts += [Paragraph(language.say(lead), is_lead=True)]
    return [*parts, Paragraph(language.text(sentences)), dot_picture(material, band)]


def _again(material: Material) -> Sentence:
    """What to measure again where methods disagree: the readings that look like slips, or all."""
    slips = [name for slip in material.explanation.slips for name in slip.names]
    sites = [Sentence(f"site.{name}") for name in dict.fromkeys(slips)][:MOST_SITES]
    return Sentence("page.apart_sites", {"sites": sites}) if sites else Sentence("page.apart_all")


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


def fat_band(material: Material) -> SpokenBand | None:
    """Return the standard of fat that the client is shown, None where none applies."""
    return next((band for band in client_bands(material) if band.measure == "fat_percent"), None)


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


def _meaning(material: Material, _: ClientMessage, left_out: LeftOut) -> list[Part]:
    """Where the dots lie, how fat, waist and weight read together, and what it comes to in mass.

    Nothing of it where methods disagree: a zone or a mass would rest on a number to be measured again.
    """
    if is_measured_again(material.explanation):
        return []
    language, bands, band = material.language, client_bands(material), fat_band(material)
    has_zones = band is not None and "zones" not in left_out
    lines = [language.say(zone_sentence(material, band))] if band and has_zones else []
    together = taken_together(bands)
    if together is not None and "together" not in left_out:
        lines.append(language.say(together))
    parts: list[Part] = [Paragraph(" ".join(lines))] if lines else []
    return parts if "masses" in left_out else [*parts, *_masses(material)]


def _masses(material: Material) -> list[Part]:
    language, result = material.language, material.result
    fat, rest = result.fat_mass_kg.range_80, result.fat_free_mass_kg.range_80
    if fat is None or rest is None:
        return []
    per, unit = material.units.per_mass, material.units.mass
    ends = {
        f"{name}_{end}": whole
        for name, mass in (("fat", fat), ("rest", rest))
        for end, whole in in_whole(mass[0] / per, mass[1] / per).items()
    }
    weight = material.mass(material.visit.accepted["weight_kg"].value)
    return [Paragraph(language.say("page.masses", weight=weight, unit=unit, **ends))]


def _change(material: Material, _: ClientMessage, left_out: LeftOut) -> list[Part]:
    """What changed and is real, or what can be said of the last step; over days its ribbon too."""
    language, parts = material.language, list[Part]()
    if material.steps and "change" not in left_out:
        result = material.whole if material.whole is not None else material.steps[-1]
        lines = [client_change(material, change) for change in changes_for_client(result)]
        parts += [Heading(language.say("page.change")), *map(Paragraph, lines)]
    # of folds and tape measures, which need no equation
    if "measured" not in left_out:
        measured = measured_change(material, only_main="girths" in left_out)
        parts += [Paragraph(measured)] if measured else []
    picture = None if {"change", "trend"} & left_out else trend_picture(material)
    return parts if picture is None else [*parts, replace(picture, caption="")]


def _change_of_no_equation(material: Material) -> list[Part]:
    """What changed of weight, folds and tape measures, where two answers stand side by side."""
    sentences = [weight_change(material), measured_change(material)]
    parts: list[Part] = [Paragraph(text) for text in sentences if text]
    return [Heading(material.language.say("page.change")), *parts] if parts else []


def _next(material: Material, message: ClientMessage, left_out: LeftOut) -> list[Part]:
    language, most = material.language, 1 if "verdict" in left_out else MOST_STEPS
    doctor = message.sees_a_doctor
    first = [Sentence(f"page.first_{doctor}")] if doctor else list(message.offer)
    repeat = "page.repeat_then" if doctor else "page.repeat"
    if is_measured_again(material.explanation):
        repeat = "page.repeat_soon"  # weeks would leave a number that nobody should rely on
    steps = [*first, Sentence(repeat, {"weeks": REPEAT_WEEKS}), Sentence("page.ask")][:most]
    return [Heading(language.say("page.next")), Bullets(_texts(language, tuple(steps)))]


def _end(material: Material, message: ClientMessage, left_out: LeftOut) -> list[Part]:
    """Cautions that always stand at the end, and what the measuring had to take care of."""
    language, is_short = material.language, "sentences" in left_out
    # a page with numbers has said before them that they need not be read
    sentences = [
        sentence for sentence in message.end if not (message.has_numbers and sentence.key == "end")
    ]
    sentences = [
        Sentence("page.read_or_not") if sentence.key == "end" else sentence
        for sentence in sentences
    ]
    for notice in message.notices:
        if notice.soon == "reading":
            sentences = [*notice.in_words(is_short=is_short), *sentences]
    if message.has_numbers and material.visit.client.age_years >= OLDER:
        sentences.insert(0, Sentence("page.strength"))
    lines = _texts(language, tuple(sentences))
    return [Paragraph(" ".join(lines))] if lines else []


def _methods(material: Material, *_: object) -> list[Part]:
    """What each method gave, thin and last: it explains the range and is not the answer."""
    picture = agreement_picture(material, for_client=True)
    return [Heading(material.language.say("page.methods")), replace(picture, caption="")]


def _small(material: Material, _: ClientMessage, left_out: LeftOut) -> list[str]:
    """What was measured, on which scale, and whose bands were told."""
    language, accepted = material.language, material.visit.accepted
    local = list(map(language.say, how_it_was_made(material.result)))
    if "sources" in left_out:
        return local
    kinds = [BY_NAME[name].kind for name in accepted]
    counted = [
        Sentence(f"page.{key}", {"count": kinds.count(kind)})
        for kind, key in COUNTED_AS if kind in kinds
    ]  # fmt: skip
    counted += [
        Sentence(f"page.{name}") for name in ("weight", "height")
        if any(known.startswith(f"{name}_") for known in accepted)
    ]  # fmt: skip
    names = [
        language.say("page.not_verified", name=cited(band, language))
        if band.status == "not verified in print"
        else cited(band, language)
        for band in ([] if is_measured_again(material.explanation) else client_bands(material))
    ]
    lines = [
        language.say("page.measured", what=counted),
        language.say("page.scale", reference_method=material.result.reference_method),
        *local,
    ]
    return lines + ([language.say("page.sources", names=names)] if names else [])
