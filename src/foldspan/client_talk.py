"""Client talk: what a client is told of a visit, as keys of sentences; the words are elsewhere.

What is said depends on what was found and on how much a page holds, never on the language.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from foldspan.errormodel import SCALE_OFFSET
from foldspan.explanation import Explanation
from foldspan.language import ENGLISH, Language, Said
from foldspan.offers import is_large
from foldspan.result import Result, SpokenFlag
from foldspan.standards.fat_percent import LEAST_FAT
from foldspan.standards.rules import RULE_BY_CODE
from foldspan.wording import CAUTIONS, FAMILY_NAMES
from foldspan.wording_client import CLIENT_REASONS

# flags that no other may push off the client's page
ALWAYS_TOLD = ("self_harm", "eating_concern")
# ladders of flags that speak about weight, fat or muscle
ABOUT_THE_BODY = ("low_weight", "high_weight", "loss", "low_fat", "lean", "muscle")
MOST_CLIENT_WORDS, MOST_OUTSIDE_WORDS, MOST_FLAGS = 150, 2, 2
# a reason is told to the client if it makes this share of the difference
CLIENT_SHARE = 0.25
# an offer is made to the client if it narrows the range by this much [points]
WORTH_OFFERING = 0.5


@dataclass(frozen=True, slots=True)
class Talk:
    """What one client is told, in the order of the page; parts that do not apply are empty.

    ``opening`` is the range in a sentence, or that there is none today and why; ``heeded`` what a
    doctor should see, or a caution. Where ``has_numbers`` is False no number may stand beside it.
    """

    opening: tuple[Said, ...]
    reasons: tuple[Said, ...] = ()
    elsewhere: tuple[Said, ...] = ()
    offer: tuple[Said, ...] = ()
    heeded: tuple[Said, ...] = ()
    end: tuple[Said, ...] = ()
    has_numbers: bool = False


def client_talk(
    explanation: Explanation,
    *,
    careful: bool | None = None,
    flags: Sequence[SpokenFlag] | None = None,
    all_referrals: bool = False,
) -> Talk:
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
    all_referrals : bool
        Tell everything that a doctor should see, not only the first two.
    """
    result = explanation.result
    careful = result.health.careful if careful is None else careful
    told = [one for one in (result.flags if flags is None else flags) if one.level != "inform"]
    urgent = [one for one in told if one.level == "refer_urgently"]
    if urgent:
        return Talk((), heeded=_flag_words(urgent, careful=careful), end=(Said("stop"),))
    referred = sum(one.level.startswith("refer") for one in told)
    most = max(MOST_FLAGS, referred) if all_referrals else MOST_FLAGS
    noted = _flag_words(told, careful=careful, most=most)
    if careful:
        return Talk((Said("careful"),), heeded=noted, end=(Said("careful_end"),))
    if result.fat_percent.likely is None:
        code = result.problems[0].code if result.problems else "E203"
        why = Said("no_range", {"why": Said(f"no_range_why.{code}")})
        return Talk((why,), heeded=noted)
    low, high = result.fat_percent.likely
    reasons, verdict = _reasons(explanation)
    range_said = Said("opening", {"low": math.floor(low), "high": math.ceil(high)})
    heeded = noted or _cautions(result)
    return Talk(
        opening=(range_said, Said("why_range"), Said(f"verdict.{verdict}")),
        reasons=reasons,
        elsewhere=_elsewhere(explanation),
        offer=() if heeded else offers(explanation),
        heeded=heeded,
        end=(Said("end"),),
        has_numbers=True,
    )


def client_words(explanation: Explanation, language: Language = ENGLISH) -> str:
    """Return the client's explanation: the range first, short words, at most 150 of them."""
    talk = client_talk(explanation)
    named = local_said(explanation.result) if talk.has_numbers else ()
    end = (*named, *talk.end)
    said = (talk.opening, talk.reasons, talk.elsewhere, talk.offer, talk.heeded, end)
    text = language.text(part for parts in said for part in parts)
    # what is too much for one page is left out: the second reason first, then the offer, then what was
    # told elsewhere; never what a doctor should see
    for reasons, elsewhere, offer in (
        (talk.reasons[:1], talk.elsewhere, talk.offer),
        (talk.reasons[:1], talk.elsewhere, ()),
        ((), (), ()),
    ):
        if len(text.split()) <= MOST_CLIENT_WORDS:
            break
        said = (talk.opening, reasons, elsewhere, offer, talk.heeded, end)
        text = language.text(part for parts in said for part in parts)
    return text


def local_said(result: Result) -> tuple[Said, ...]:
    """What the client is told of a site's own correction, where one is part of the range."""
    if result.local is None or not result.local.is_applied:
        return ()
    return (Said("page.local", {"scale": Said(f"scale.{result.local.scale}")}),)


def _flag_words(
    flags: Sequence[SpokenFlag], *, careful: bool, most: int = MOST_FLAGS
) -> tuple[Said, ...]:
    """What the client is told of the flags, ``most`` sentences at the most.

    Where careful words are called for no flag may speak about weight, fat or muscle: it says only that a
    doctor is needed, and how soon.
    """
    keys = [
        f"careful_flag.{one.level}" if careful and is_about_the_body(one) else f"flag.{one.code}"
        for one in sorted(flags, key=lambda one: one.code not in ALWAYS_TOLD)
    ]
    kept = [key for key in dict.fromkeys(keys) if key != "careful_flag.advise"]
    return tuple(map(Said, kept[:most]))


def is_about_the_body(flag: SpokenFlag) -> bool:
    """Whether a flag speaks about weight, fat or muscle."""
    return RULE_BY_CODE[flag.code].ladder in ABOUT_THE_BODY


def _reasons(explanation: Explanation) -> tuple[tuple[Said, ...], str]:
    """The reasons that make a good part of an unusual difference, and the word for the verdict."""
    verdict = explanation.result.verdict or "single"
    if any(
        joined and not one.consistent
        for one, joined in zip(explanation.outside, explanation.included, strict=True)
    ):
        verdict = "strained" if verdict in ("agree", "single") else verdict
    pairs = [one for one in explanation.pairs if set(one.between) <= set(FAMILY_NAMES)]
    if not pairs:
        return (), verdict
    widest = max(pairs, key=lambda one: abs(one.on_scale))
    worth = CLIENT_SHARE * abs(widest.on_scale)
    codes = [one.code for one in explanation.findings if one.code == "slip"]
    if not widest.is_ordinary and verdict != "agree":
        codes += [
            one.code
            for one in explanation.findings
            if one.code in CLIENT_REASONS and one.code != "slip" and (one.points or 0.0) >= worth
        ]
        if codes and widest.is_explained:
            verdict = "explained"
    return tuple(Said(f"reason.{code or 'none'}") for code in codes[:2] or [""]), verdict


def _elsewhere(explanation: Explanation) -> tuple[Said, ...]:
    """A word on what the client was told elsewhere, at most twice."""
    told = []
    for one, joined in zip(explanation.outside, explanation.included, strict=True):
        if one.fat_percent is None or one.on_scale is None:
            continue
        key = "used" if joined else "fits" if one.consistent else "apart"
        if {"old", "other_weight"} & set(one.remarks):
            key = "other_day"
        if "does_not_add_up" in one.remarks:
            key = "does_not_add_up"
        told.append(Said(f"elsewhere.{key}", {"percent": round(one.fat_percent)}))
    return tuple(told[:MOST_OUTSIDE_WORDS])


def _cautions(result: Result) -> tuple[Said, ...]:
    """Cautions in the client's words: low fat, where the likely range reaches it."""
    if result.fat_percent.likely is None:
        return ()
    moved = SCALE_OFFSET if result.scale == "dxa" else 0.0
    low = result.fat_percent.likely[0] - moved
    for code, sex in (("low_fat", "male"), ("low_fat_women", "female")):
        if CAUTIONS[code] in result.cautions and low < LEAST_FAT[sex]:
            return (Said(f"caution.{code}"),)
    return ()


def offers(explanation: Explanation) -> tuple[Said, ...]:
    """What could be measured next time, if it tells enough; nothing that many would rather not."""
    is_big = is_large(explanation)
    found = [
        one
        for one in explanation.next_measurements
        if not (one.is_repeat or one.is_intimate or (is_big and one.needs_calliper))
    ]
    if not found or found[0].narrower_by < WORTH_OFFERING:
        return ()
    sites: list[Any] = [Said(f"site.{name}") for name in found[0].names]
    return (Said("next", {"what": sites}),)
