"""Client notices: what a client is told of flags, in groups by how soon to act; none is left out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from foldspan.results.spoken import SpokenFlag
from foldspan.standards.referral_rules import RULE_BY_CODE
from foldspan.text.catalogue import Sentence
from foldspan.text.en.notices import ALWAYS_IN_FULL, GROUPS, TOPICS, WHEN, how_soon

# ladders of flags that speak about weight, fat or muscle
ABOUT_THE_BODY = ("low_weight", "high_weight", "loss", "low_fat", "lean", "muscle")
# notices of one group that are told in full; more of them are told by their topics
MOST_IN_FULL = 3
# groups whose topics need words before them where whole sentences stand above; "also" has its title
WITH_LEAD_IN = ("days", "weeks", "talk")
# topics behind which the advice to set no goals stands
NO_GOALS_YET = ("topic.periods_stopped",)


@dataclass(frozen=True, slots=True)
class Notices:
    """Notices of one group; ``soon`` is how soon to act on them.

    Each notice is the key of its sentence and the key of its topic, the same in a few words, "" where it
    has to be told in full.
    """

    soon: str
    keys: tuple[tuple[str, str], ...]

    def shown(self, *, is_short: bool) -> tuple[Sentence, ...]:
        """Return every notice, to stand under a title that says how soon."""
        full = tuple(map(Sentence, self._in_full(is_short)))
        topics = tuple(map(Sentence, self._by_topic(is_short)))
        if full and topics and self.soon in WITH_LEAD_IN:
            topics = (Sentence("about.also", {"what": topics}),)
        return (*full, *topics, *self._advice(is_short))

    def in_words(self, *, is_short: bool) -> tuple[Sentence, ...]:
        """Return every notice as sentences in a row, how soon among them."""
        sentences = [Sentence(key) for key in self._in_full(is_short)]
        topics = tuple(map(Sentence, self._by_topic(is_short)))
        if topics:
            about = Sentence(f"about.{self.soon}", {"what": topics})
            return (*sentences, about, *self._advice(is_short))
        return (
            (*sentences, Sentence(f"when.{self.soon}")) if self.soon in WHEN else tuple(sentences)
        )

    def _in_full(self, is_short: bool) -> list[str]:
        short = self._is_short(is_short)
        return [full for full, topic in self.keys if not (short and topic)]

    def _by_topic(self, is_short: bool) -> list[str]:
        return [topic for _, topic in self.keys if topic] if self._is_short(is_short) else []

    def _advice(self, is_short: bool) -> tuple[Sentence, ...]:
        has_advice = any(topic in NO_GOALS_YET for topic in self._by_topic(is_short))
        return (Sentence("about.no_goals"),) if has_advice else ()

    def _is_short(self, is_short: bool) -> bool:
        return is_short or self.soon == "also" or len(self.keys) > MOST_IN_FULL


def is_about_the_body(flag: SpokenFlag) -> bool:
    """Whether a flag speaks about weight, fat or muscle."""
    return RULE_BY_CODE[flag.code].ladder in ABOUT_THE_BODY


def notices_of(
    flags: Sequence[SpokenFlag], *, careful: bool, has_range: bool, cautions: tuple[str, ...] = ()
) -> tuple[Notices, ...]:
    """Return every notice of some flags, the most urgent group first.

    Where a doctor is needed today all else is what to tell that doctor. Where numbers may harm no notice
    speaks about weight, fat or muscle, only of a doctor and how soon. What is about the measuring alone
    stands beside a range.

    Parameters
    ----------
    flags : sequence of SpokenFlag
        Of one client.
    careful : bool
        Whether numbers may harm.
    has_range : bool
        Whether a range stands beside them.
    cautions : tuple of str
        Keys of further sentences, told in full among what can be talked over with a doctor.
    """
    is_urgent = any(flag.level == "refer_urgently" for flag in flags)
    found: dict[str, list[tuple[str, str]]] = {}
    for flag in flags:
        soon = how_soon(flag.code, flag.level)
        if soon == "reading" and (is_urgent or careful or not has_range):
            continue
        if is_urgent and flag.level != "refer_urgently":
            soon = "also"
        if careful and is_about_the_body(flag):
            # a doctor who is seen today is told by the client, or asks
            if not flag.level.startswith("refer") or soon == "also":
                continue
            keys = (f"careful_flag.{flag.level}", "")
        else:
            is_full = flag.level == "refer_urgently" or flag.code in ALWAYS_IN_FULL
            has_topic = flag.code in TOPICS and not is_full
            keys = (f"flag.{flag.code}", f"topic.{flag.code}" if has_topic else "")
        found.setdefault(soon, []).append(keys)
    found.setdefault("talk", []).extend((key, "") for key in cautions)
    return tuple(
        Notices(soon, tuple(dict.fromkeys(found[soon]))) for soon in GROUPS if found.get(soon)
    )
