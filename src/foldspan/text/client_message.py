"""Client message: what a client is told of a visit, as keys of sentences; the words are elsewhere.

What is said depends on what was found and on how much a page holds, never on the language.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from foldspan.display_units import whole_ends
from foldspan.estimation.error_model import REFERENCE_OFFSET
from foldspan.results.explanation import Explanation
from foldspan.results.offers import is_large
from foldspan.results.result import Result
from foldspan.results.spoken import SpokenFlag
from foldspan.standards.fat_percent import LEAST_FAT
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.text.catalogue import ENGLISH, Language, Sentence
from foldspan.text.client_notices import Notices, notices_of
from foldspan.text.en.client import CLIENT_REASONS
from foldspan.text.en.reconcile import FAMILY_NAMES

MOST_CLIENT_WORDS, MOST_OUTSIDE_WORDS = 150, 2
# notices that stand before everything else, and before the next measurement
FIRST = ("now", "today", "also", "days", "weeks")
# a reason is told to the client if it makes this share of the difference
CLIENT_SHARE = 0.25
# an offer is made to the client if it narrows the range by this much [points]
LEAST_OFFERED = 0.5


@dataclass(frozen=True, slots=True)
class ClientMessage:
    """What one client is told, in the order of the page; parts that do not apply are empty.

    ``opening`` is the range in a sentence, or that there is none today and why; ``notices`` what a
    doctor should see, cautions, and what the measuring has to take care of. Where ``has_numbers`` is
    False no number may stand beside it.
    """

    opening: tuple[Sentence, ...]
    reasons: tuple[Sentence, ...] = ()
    elsewhere: tuple[Sentence, ...] = ()
    offer: tuple[Sentence, ...] = ()
    notices: tuple[Notices, ...] = ()
    end: tuple[Sentence, ...] = ()
    has_numbers: bool = False

    @property
    def sees_a_doctor(self) -> str:
        """How soon the client should see a doctor, "" where no notice asks for it."""
        return next((notice.soon for notice in self.notices if notice.soon in FIRST), "")


def client_message(
    explanation: Explanation,
    *,
    careful: bool | None = None,
    flags: Sequence[SpokenFlag] | None = None,
) -> ClientMessage:
    """Return what the client is told.

    Where careful words are called for it holds no number at all, and where a doctor is needed today
    nothing but that.

    Parameters
    ----------
    explanation : Explanation
        Of the visit.
    careful : bool, optional
        Whether numbers may harm; left out, as the visit's own intake says.
    flags : sequence of SpokenFlag, optional
        Left out, those of the visit.
    """
    result = explanation.result
    careful = result.health.careful if careful is None else careful
    flags = result.flags if flags is None else flags
    has_range = result.fat_percent.range_80 is not None and not careful
    cautions = _cautions(result, flags) if has_range else ()
    notices = notices_of(flags, careful=careful, has_range=has_range, cautions=cautions)
    if any(flag.level == "refer_urgently" for flag in flags):
        return ClientMessage((), notices=notices, end=(Sentence("stop"),))
    if careful:
        return ClientMessage(
            (Sentence("careful"), Sentence("careful_why")),
            notices=notices,
            end=(Sentence("careful_end"),),
        )
    if result.fat_percent.range_80 is None:
        both = {sex: result_of_sex.fat_percent.range_80 for sex, result_of_sex in result.by_sex}
        if both and all(both.values()):
            ends = {
                f"{sex}_{end}": value
                for sex, pair in both.items()
                if pair is not None
                for end, value in zip(("low", "high"), whole_ends(pair), strict=True)
            }
            return ClientMessage(
                (Sentence("both_sexes", ends), Sentence("both_sexes_why")),
                notices=notices,
                end=(Sentence("end"),),
            )
        code = result.problems[0].code if result.problems else "E203"
        said = ("no_range", f"no_range_why.{code}", "no_range_ask")
        return ClientMessage(tuple(map(Sentence, said)), notices=notices)
    low, high = whole_ends(result.fat_percent.range_80)
    reasons, verdict = _reasons(explanation)
    range_sentence = Sentence("opening", {"low": low, "high": high})
    is_quiet = all(notice.soon == "reading" for notice in notices)
    return ClientMessage(
        opening=(range_sentence, Sentence("why_range"), Sentence(f"verdict.{verdict}")),
        reasons=reasons,
        elsewhere=_elsewhere(explanation),
        offer=offers(explanation) if is_quiet else (),
        notices=notices,
        end=(Sentence("end"),),
        has_numbers=True,
    )


def client_words(
    explanation: Explanation,
    language: Language = ENGLISH,
    *,
    careful: bool | None = None,
    flags: Sequence[SpokenFlag] | None = None,
) -> str:
    """Return the client's explanation: short words, at most 150 of them.

    The range comes first, but for what a doctor should see soon; ``careful`` and ``flags`` as in
    ``client_message``.
    """
    message = client_message(explanation, careful=careful, flags=flags)
    named = how_it_was_made(explanation.result) if message.has_numbers else ()
    message = replace(message, end=(*named, *message.end))
    # what is too much for one page is left out or told in a few words: the second reason first, then the
    # offer, then what was told elsewhere; no notice is ever left out
    shorter = replace(message, reasons=message.reasons[:1])
    bare = replace(message, reasons=(), elsewhere=(), offer=())
    text = ""
    for version, is_short in (
        (message, False), (shorter, False), (replace(shorter, offer=()), False), (bare, False),
        (bare, True),
    ):  # fmt: skip
        text = language.text(_in_a_row(version, is_short=is_short))
        if len(text.split()) <= MOST_CLIENT_WORDS:
            break
    return text


def _in_a_row(message: ClientMessage, *, is_short: bool) -> list[Sentence]:
    """Everything that is told, one sentence behind the other; what cannot wait comes first."""
    first, later = (
        [
            sentence
            for notice in message.notices
            if (notice.soon in FIRST) == is_first
            for sentence in notice.in_words(is_short=is_short)
        ]
        for is_first in (True, False)
    )
    return [
        *first,
        *message.opening,
        *message.reasons,
        *message.elsewhere,
        *message.offer,
        *later,
        *message.end,
    ]


def how_it_was_made(result: Result) -> tuple[Sentence, ...]:
    """What the client is told of what is not usual in how the range was made."""
    sentences: list[Sentence] = []
    if result.local is not None and result.local.is_applied:
        method = result.local.reference_method
        sentences.append(Sentence("page.local", {"reference_method": method}))
    if result.as_printed:
        sentences.append(Sentence("page.printed"))
    return tuple(sentences)


def _reasons(explanation: Explanation) -> tuple[tuple[Sentence, ...], str]:
    """The reasons that make a good part of an unusual difference, and the word for the verdict."""
    verdict = explanation.result.verdict or "single"
    if any(
        joined and not placed.consistent
        for placed, joined in zip(explanation.outside, explanation.included, strict=True)
    ):
        verdict = "strained" if verdict in ("agree", "single") else verdict
    pairs = [pair for pair in explanation.pairs if set(pair.between) <= set(FAMILY_NAMES)]
    if not pairs:
        return (), verdict
    widest = max(pairs, key=lambda pair: abs(pair.on_reference_method))
    least = CLIENT_SHARE * abs(widest.on_reference_method)
    codes = [finding.code for finding in explanation.findings if finding.code == "slip"]
    if not widest.is_ordinary and verdict != "agree":
        codes += [
            finding.code
            for finding in explanation.findings
            if finding.code in CLIENT_REASONS
            and finding.code != "slip"
            and (finding.points or 0.0) >= least
        ]
        # a reason makes nobody rely on methods that disagree: the advice to measure again stays
        if codes and widest.is_explained and verdict != "disagree":
            verdict = "explained"
    return tuple(Sentence(f"reason.{code or 'none'}") for code in codes[:2] or [""]), verdict


def _elsewhere(explanation: Explanation) -> tuple[Sentence, ...]:
    """A word on what the client was told elsewhere, at most twice."""
    sentences = []
    for placed, joined in zip(explanation.outside, explanation.included, strict=True):
        if placed.fat_percent is None or placed.on_reference_method is None:
            continue
        key = "used" if joined else "fits" if placed.consistent else "apart"
        if {"old", "other_weight"} & set(placed.remarks):
            key = "other_day"
        if "does_not_add_up" in placed.remarks:
            key = "does_not_add_up"
        sentences.append(Sentence(f"elsewhere.{key}", {"percent": round(placed.fat_percent)}))
    return tuple(sentences[:MOST_OUTSIDE_WORDS])


def _cautions(result: Result, flags: Sequence[SpokenFlag]) -> tuple[str, ...]:
    """Cautions in the client's words: low fat, where the likely range reaches it and no flag says so."""
    if result.fat_percent.range_80 is None or any(_is_of("low_fat", flag) for flag in flags):
        return ()
    moved = REFERENCE_OFFSET if result.reference_method == "dxa" else 0.0
    low = result.fat_percent.range_80[0] - moved
    for code, sex in (("low_fat", "male"), ("low_fat_women", "female")):
        if code in result.caution_codes and low < LEAST_FAT[sex]:
            return (f"caution.{code}",)
    return ()


def _is_of(ladder: str, flag: SpokenFlag) -> bool:
    return RULE_BY_CODE[flag.code].ladder == ladder


def offers(explanation: Explanation) -> tuple[Sentence, ...]:
    """What could be measured next time, if it tells enough; nothing that many would rather not."""
    is_big = is_large(explanation)
    usable = [
        offer
        for offer in explanation.next_measurements
        if not (offer.is_repeat or offer.is_intimate or (is_big and offer.needs_calliper))
    ]
    if not usable or usable[0].narrower_by < LEAST_OFFERED:
        return ()
    sites: list[Any] = [Sentence(f"site.{name}") for name in usable[0].names]
    return (Sentence("next", {"what": sites}),)
