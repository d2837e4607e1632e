"""Sites: the sites of a session, from what was wanted less what the answers keep hands off."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from foldspan.catalogue import EQUATIONS
from foldspan.estimation.evaluate import needed
from foldspan.protocol.clothing import CORRECTED
from foldspan.protocol.effort import INTIMATE
from foldspan.protocol.plans import (
    ADAPTIVE,
    ALWAYS,
    CHOSEN_KINDS,
    CONSENT,
    COVERED,
    PLAN_BY_KEY,
)
from foldspan.protocol.site_guide import SiteGuide, guide_for
from foldspan.quantities import BY_NAME, MEASURED, WAISTS
from foldspan.session.answers import Known, is_healing, is_narrow, sex_of, sexes_of
from foldspan.standards.referral_rules import RULE_BY_CODE

# What was reported and speaks against lifting folds: they bruise.
NO_FOLDS = RULE_BY_CODE["bleeding"].intake_words
# What was reported and keeps hands and tape off the belly (EHES manual B 2016, seen
# in a text that quotes it, for the waist; for folds our choice).
NO_BELLY = RULE_BY_CODE["belly_not_valid"].intake_words
BELLY: tuple[str, ...] = (
    *WAISTS, "abdominal_mm", "suprailiac_anterior_mm", "suprailiac_midaxillary_mm",
    "supraspinale_mm",
)  # fmt: skip
CHEST: tuple[str, ...] = (
    "chest_mm", "midaxillary_mm", "subscapular_mm", "chest_girth_cm", "breast_girth_cm",
)  # fmt: skip
# What somebody who measures has to touch the client for; the client can lay a tape alone.
HANDS_ON = ("skinfold", "breadth", "girth")
# So many folds that could not be taken, and an adaptive plan chooses no more of them (ours).
MOST_FOLDS_IN_VAIN = 2
# What keeps a single site from being taken; the other side may do.
SITE_CARE = ("wound", "skin_disease", "implant", "lymphoedema", "cast", "paralysis")
EQUATION_BY_KEY = {card.key: card for card in EQUATIONS}
# Weight and height first, then the tape, then the calliper: pressing comes last (our choice).
_ORDER = {"mass": 0, "height": 0, "girth": 1, "breadth": 1, "skinfold": 2}
_PLACE = {name: place for place, name in enumerate(MEASURED)}


def chosen(known: Known, plan: Sequence[str] | None = None) -> tuple[str, ...]:
    """Return the sites that the plan asks for, before what the client does not want is left out.

    A plan holds names of plans, keys of equations, and sites taken in (``+neck_cm``) or out
    (``-neck_cm``); left out, it is the one of the session.
    """
    if is_narrow(known):
        return ALWAYS
    words = known.words("plan") if plan is None else plan
    wanted: dict[str, None] = dict.fromkeys(ALWAYS if words else ())
    for word in (word for word in words if word[0] not in "+-"):
        is_plan = word in PLAN_BY_KEY
        sites = sites_of_plan(known, word) if is_plan else needed(EQUATION_BY_KEY[word])
        wanted |= dict.fromkeys(sites)
    if ADAPTIVE in words:
        wanted |= dict.fromkeys(known.words("next"))
    wanted |= dict.fromkeys(word[1:] for word in words if word.startswith("+"))
    gone = {"age_years", *(word[1:] for word in words if word.startswith("-"))}
    return _in_order({name: None for name in wanted if name not in gone})


def is_adaptive(known: Known) -> bool:
    """Whether the plan of the session chooses as it goes."""
    return ADAPTIVE in known.words("plan") and not is_narrow(known)


def chooses(known: Known) -> bool:
    """Whether the plan of the session may choose still: it has not said yet that nothing is worth it."""
    return is_adaptive(known) and known.get("next.enough") is not True


def choosable(known: Known) -> tuple[str, ...]:
    """Return the sites that an adaptive plan may choose next: nothing that was refused or ruled out.

    Sites that many women would rather not have measured are left to whoever names them, as are those
    that would be taken over clothing: there they tell little.
    """
    if not is_adaptive(known):
        return ()
    layered = CORRECTED if known.get("consent.uncover") is False else ()
    gone = frozenset().union(
        *_kept_off(known).values(), chosen(known), layered, _skinfolds_failed(known)
    )
    return tuple(name for name in _ever_chosen(known, known.words("plan")) if name not in gone)


def _ever_chosen(known: Known, plan: Sequence[str]) -> tuple[str, ...]:
    """Sites that an adaptive plan might choose, whatever was answered so far."""
    gone = {word[1:] for word in plan if word.startswith("-")}
    intimate = INTIMATE if "female" in sexes_of(known) else ()
    return tuple(
        name
        for name in MEASURED
        if BY_NAME[name].kind in CHOSEN_KINDS and name not in gone and name not in intimate
    )


def _skinfolds_failed(known: Known) -> tuple[str, ...]:
    """Every fold, where several could not be taken or stand at the end of the scale."""
    folds = tuple(name for name in MEASURED if BY_NAME[name].kind == "skinfold")
    in_vain = [
        name
        for name in folds
        if known.is_at_least(1, name)
        or any(
            "cannot" in answer for answer in map(known.site_answer, (f"mark.{name}", f"1.{name}"))
        )
    ]
    return folds if len(in_vain) >= MOST_FOLDS_IN_VAIN else ()


def sites_of_plan(known: Known, plan: str) -> tuple[str, ...]:
    """Return the sites of one plan; of both sexes where it is left open whose equations fit."""
    sexes = sexes_of(known) or ("female",)
    return tuple(dict.fromkeys(site for sex in sexes for site in PLAN_BY_KEY[plan].sites(sex)))


def _in_order(names: Mapping[str, None]) -> tuple[str, ...]:
    """Sites as they are gone round: by kind, within it from the head down."""
    return tuple(sorted(names, key=lambda name: (_ORDER[BY_NAME[name].kind], _PLACE[name])))


def left_out(known: Known) -> dict[str, tuple[str, ...]]:
    """Return what the answers take out of the plan: code of the reason → sites."""
    gone = _kept_off(known)
    sites = chosen(known)
    found = {code: tuple(name for name in sites if name in names) for code, names in gone.items()}
    return {code: names for code, names in found.items() if names}


def _kept_off(known: Known) -> dict[str, frozenset[str]]:
    """Return every site that the answers keep hands off, planned or not: code of the reason → sites."""
    folds = frozenset(name for name in MEASURED if BY_NAME[name].kind == "skinfold")
    breadths = frozenset(name for name in MEASURED if BY_NAME[name].kind == "breadth")
    operated = known.get("operated") if is_healing(known) else None
    is_off_belly = known.reported(*NO_BELLY) or operated == "belly"
    reasons = (
        ("no_touch", known.get("consent.touch") is False, folds | breadths),
        ("no_pinching", known.get("consent.pinch") is False, folds),
        ("skin_not_ready", known.get("prepared.skin") is False, folds),
        ("bleeds_easily", known.reported(*NO_FOLDS), folds),
        ("off_belly", is_off_belly, frozenset(BELLY)),
        ("off_chest", operated == "chest", frozenset(CHEST)),
        ("chest_declined", known.get("consent.chest") is False, frozenset(INTIMATE)),
        ("covered", known.get("consent.uncover") is False, frozenset(COVERED)),
    )  # fmt: skip
    return {code: names for code, holds, names in reasons if holds}


def planned(known: Known) -> tuple[str, ...]:
    """Return the sites of the session in their order.

    Where all folds fall away the tape takes their place, so that the client still gets a range.
    """
    return _less(known, _kept_off(known))


def _taken(known: Known, *, but: tuple[str, ...] = ()) -> tuple[str, ...]:
    """The sites that may come up, were the skin dry and some reasons (``but``) did not hold."""
    but = (*but, "skin_not_ready")
    kept_off = {code: reason for code, reason in _kept_off(known).items() if code not in but}
    gone = frozenset().union(*kept_off.values())
    more = [name for name in _ever_chosen(known, known.words("plan")) if name not in gone]
    return (*_less(known, kept_off), *(more if is_adaptive(known) else ()))


def _less(known: Known, kept_off: Mapping[str, frozenset[str]]) -> tuple[str, ...]:
    sites = dict.fromkeys(chosen(known))
    gone = frozenset().union(*kept_off.values())
    folds = {name for name in sites if BY_NAME[name].kind == "skinfold"}
    # an adaptive plan chooses for itself what takes the place of folds
    if folds and folds <= gone and not is_adaptive(known):
        sites |= dict.fromkeys(sites_of_plan(known, "tape"))
    return _in_order({name: None for name in sites if name not in gone})


def has_folds(known: Known) -> bool:
    """Whether the session lifts any fold, or its plan may choose one."""
    gone = frozenset().union(*_kept_off(known).values())
    more = _ever_chosen(known, known.words("plan")) if is_adaptive(known) else ()
    sites = (*planned(known), *(name for name in more if name not in gone))
    return any(BY_NAME[name].kind == "skinfold" for name in sites)


def guide_of(known: Known, name: str) -> SiteGuide:
    """Return the guide to a site, at the variant that the chosen equations were built on."""
    variant = ""
    for word in known.words("plan"):
        card = EQUATION_BY_KEY.get(word)
        variant = variant or (card.sites.get(name, "") if card is not None else "")
    if not variant and name == "chest_mm" and sex_of(known) == "female":
        variant = "third"
    return guide_for(name, variant)


def unlike_variants(known: Known) -> dict[str, tuple[str, ...]]:
    """Return the sites for which the chosen equations were built on different variants."""
    found: dict[str, dict[str, None]] = {}
    for word in known.words("plan"):
        card = EQUATION_BY_KEY.get(word)
        for name, variant in (card.sites if card is not None else {}).items():
            found.setdefault(name, {})[variant] = None
    return {name: tuple(variants) for name, variants in found.items() if len(variants) > 1}


def asked_for(known: Known) -> tuple[str, ...]:
    """Return the consents that are asked for: none that an earlier no, or a condition, has settled.

    Each is asked where something hangs on it with every other answer as it stands.
    """
    may_touch = known.get("consent.touch") is not False
    is_bare = known.get("consent.uncover") is not False
    kinds = {BY_NAME[name].kind for name in _taken(known, but=("no_touch",))}
    marked = any(
        BY_NAME[name].kind == "skinfold" or guide_of(known, name).mark is not None
        for name in _taken(known)
        if is_bare or name not in CORRECTED
    )
    holds = {
        "touch": bool(kinds & set(HANDS_ON)),
        "pinch": any(
            BY_NAME[name].kind == "skinfold" for name in _taken(known, but=("no_pinching",))
        ),
        "uncover": bool({*COVERED, *CORRECTED} & set(_taken(known, but=("covered",)))),
        "mark": may_touch and marked,
        "chest": "female" in sexes_of(known)
        and bool(set(INTIMATE) & set(_taken(known, but=("chest_declined",)))),
    }
    return tuple(item for item in CONSENT if item != "witness" and holds.get(item, True))
