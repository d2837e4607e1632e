"""Health bands and flags as text, for the trainer."""

from __future__ import annotations

from foldspan.cli.lines import bullet
from foldspan.results.result import Health
from foldspan.results.spoken import SpokenBand, SpokenFlag
from foldspan.text.en.flags import LEVEL_WORDS
from foldspan.text.en.health import is_main
from foldspan.text.en.reconcile import capital
from foldspan.text.self_reported import asked_lines

NOT_ASKED = (
    "No health questions were answered ([intake] in the visit file), so symptoms, medicines"
    " and weight loss were not checked."
)


def refers(health: Health) -> bool:
    """Whether anything is to be seen by a clinician."""
    return any(flag.level.startswith("refer") for flag in health.flags)


def flags_part(health: Health, *, with_intake: bool = True) -> str:
    """Return the flags, the most urgent first; and that nothing was told at intake, if that is so."""
    lines = [bullet(_flag(flag)) for flag in health.flags]
    if not lines:
        lines = [bullet("None.")]
    if with_intake and not health.was_asked:
        lines.append(bullet(NOT_ASKED))
    elif with_intake:
        lines += map(bullet, asked_lines(health.answered_none, health.not_asked))
    return "\n".join(["Flags", *lines])


def _flag(flag: SpokenFlag) -> str:
    level = capital(LEVEL_WORDS[flag.level])
    return f"{level}: {flag.text} [{flag.code}; {short_source(flag.source)}]"


def short_source(key: str) -> str:
    """Return a source as its key, or that there is none."""
    return {"ours": "authors' precaution", "practice": "common practice, no source"}.get(key, key)


def bands_parts(health: Health, *, show_all: bool) -> list[str]:
    """Return the bands of every standard, then which standards contradict each other."""
    if not health.bands:
        return []
    chosen = [
        band for band in health.bands if show_all or is_main(band.standard, band.probabilities)
    ]
    lines = ["Health categories, with probabilities", *(bullet(_band(band)) for band in chosen)]
    if left := len(health.bands) - len(chosen):
        lines.append(bullet(f"{left} more with --all."))
    lines += [bullet(remark) for remark in health.remarks]
    parts = ["\n".join(lines)]
    if health.apart:
        parts.append("\n".join(["Standards that disagree", *map(bullet, health.apart)]))
    return parts


def _band(band: SpokenBand) -> str:
    remarks = f" ({'; '.join(band.remarks)})" if band.remarks else ""
    return f"{band.name}, {band.shown}: {band.text}.{remarks}"
