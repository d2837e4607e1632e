"""Wording of a plan that chooses as it goes: what is measured next, what to expect, when it is enough.

Widths are told, never a value or where the range lies: the second round has to stay blind.
"""

from __future__ import annotations

from foldspan.protocol.effort import BARED
from foldspan.quantities import BY_NAME
from foldspan.session.answers import Known, reported_last_time
from foldspan.session.events import NextChosen
from foldspan.session.sites import chooses
from foldspan.text.explain import BARED_WORDS

PLANNED = (
    "Then the site that is expected to narrow the 80% range most for its time, one after the other,"
    " until none would narrow it by 0.3 points: {low} to {high} minutes in all for most people."
)
# behind the clothing of an adaptive plan, which is that of its first sites
AND_THEN = ", then that of each chosen site"
NEXT = "Next: {sites}."
TOGETHER = "Next, together: {sites}."
CLOTHING = "Clothing: {bared}."
EXPECTED_NEXT = (
    "Expected width of the 80% range: {now:.1f} percentage points now, about {then:.1f} with this."
)
EXPECTED_NOW = "Expected width of the 80% range: {now:.1f} percentage points."
ENOUGH = "No other site is expected to narrow the range by 0.3 points."
NOTHING_TO_CHOOSE = "No other site is chosen, because there will be no range."


def next_lines(chosen: NextChosen, known: Known) -> list[str]:
    """Return what an adaptive plan chose, said as soon as it has; ``known`` is the session with it."""
    expected = expected_sentence(known)
    if not chosen.sites:
        enough = ENOUGH if chosen.width_now is not None else NOTHING_TO_CHOOSE
        return [line for line in (enough, expected) if line]
    sites = "; ".join(BY_NAME[name].label for name in chosen.sites)
    codes = dict.fromkeys(BARED[name] for name in chosen.sites)
    bared = ", ".join(BARED_WORDS[code] for code in codes if code != "nothing")
    says = (NEXT if len(chosen.sites) == 1 else TOGETHER).format(sites=sites)
    clothing = CLOTHING.format(bared=bared) if bared else ""
    return [line for line in (says, clothing, expected) if line]


def expected_sentence(known: Known) -> str:
    """Return the width to expect at this place of a session, "" where none was worked out.

    No number is told where numbers may harm.
    """
    now, then = known.number("next.now"), known.number("next.expected")
    worries = known.get("eating_concern") or reported_last_time(known).get("eating_concern")
    if now is None or then is None or worries:
        return ""
    if not chooses(known):
        return EXPECTED_NOW.format(now=now)
    return EXPECTED_NEXT.format(now=now, then=then)
