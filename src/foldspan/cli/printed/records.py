"""What the book of records shows: its clients, one client's visits and their trend, one visit."""

from __future__ import annotations

from collections.abc import Sequence

from foldspan.cli.lines import bullet, table, wrap
from foldspan.cli.printed.health import flags_part
from foldspan.quantities import BY_NAME
from foldspan.records.visits import LINES, Correction, KeptVisit
from foldspan.results.change import ChangeResult
from foldspan.results.result import Result
from foldspan.text.codes.reconcile import REFERENCE_SENTENCES, SEX_WORDS, made_with
from foldspan.text.en.change import CAREFUL, course_sentences, fat_sentences
from foldspan.text.en.measure import not_taken
from foldspan.visit.model import Visit


def clients_page(clients: Sequence[tuple[str, str, int, str]], waiting: Sequence[str]) -> str:
    """Return the clients of a book, with their number of visits and the last day."""
    if not clients:
        return "Nobody is in this book yet."
    rows, points = [f"{'code':<16}{'visits':>7}  {'last kept':<12}name"], []
    for code, name, count, last in clients:
        shown, visits = code or "(no code yet)", "1 visit" if count == 1 else f"{count} visits"
        rows.append(f"{shown:<16}{count:>7}  {last[:10]:<12}{name}".rstrip())
        told = filter(None, [visits, f"last kept {last[:10]}", name])
        points.append(f"{shown}: {', '.join(told)}")
    lines = table(rows, "Clients", points)
    if waiting:
        codes = ", ".join(waiting)
        lines.append(wrap(f"Not ended, foldspan measure --resume goes on: {codes}."))
    return "\n".join(lines)


def client_page(
    visits: Sequence[tuple[KeptVisit, Result | None]], change: ChangeResult | None
) -> str:
    """Return a client's visits with their ranges, and what changed from the first to the last."""
    rows, points = [f"{'visit':<7}{'date':<12}{'tester':<10}{'sites':>6}  body fat, likely"], []
    for one, result in visits:
        count, span = _count(one), _range(one, result)
        rows.append(f"{one.number:<7}{one.day:<12}{one.tester:<10}{count:>6}  {span}")
        sites = "1 site" if count == 1 else f"{count} sites"
        points.append(
            ", ".join(filter(None, [f"{one.number}: {one.day}", one.tester, sites, span]))
        )
    parts = ["\n".join(table(rows, "Visits, with the likely range of body fat", points))]
    if any(one.tree.get("intake", {}).get("eating_concern") for one, _ in visits):
        parts.insert(0, wrap(CAREFUL))
    named = {_made(one) for _, one in visits if one is not None} - {""}
    parts += [wrap(one) for one in sorted(named)]
    told = [] if change is None else fat_sentences(change)
    if change is not None and told:
        told[0] = f"From the first to the last visit: {told[0]}"
        told += course_sentences(change)
        parts.append("\n".join(["Trend", *map(bullet, told)]))
    return "\n\n".join(parts)


def _count(one: KeptVisit) -> int:
    return sum(len(one.tree.get(name, {})) for name in ("skinfolds_mm", "girths_cm", "breadths_cm"))


def _range(one: KeptVisit, result: Result | None) -> str:
    if not one.has_ended:
        return "not ended"
    if result is not None and result.by_sex:
        either = [f"{_span(answer)} ({SEX_WORDS[sex]})" for sex, answer in result.by_sex]
        return ", ".join(either)
    return "no range" if result is None else _span(result)


def _made(result: Result) -> str:
    """On which scale a range stands, and what it was made with; "" without one."""
    if not (result.has_range or result.by_sex):
        return ""
    return f"{REFERENCE_SENTENCES[result.scale]} {made_with(result)}".strip()


def _span(result: Result) -> str:
    if result.fat_percent.likely is None:
        return "no range"
    low, high = result.fat_percent.likely
    return f"{low:.1f} to {high:.1f} %"


def visit_page(one: KeptVisit, visit: Visit, result: Result) -> str:
    """Return one visit: what was read, what could not be taken, notes, corrections, the range."""
    title = f"Visit {one.number} of {one.code}, {one.day}"
    rows, points = [title], []
    for name, site in visit.sites.items():
        accepted = visit.accepted[name]
        read = ", ".join(f"{value:g}" for value in site.readings)
        ended = "+" if site.is_at_least else ""
        unsteady = ", unsteady" if accepted.is_unsteady else ""
        unit = BY_NAME[name].unit
        label, readings = BY_NAME[name].label, f"({read}{ended}{unsteady})"
        rows.append(f"  {label:<34}{accepted.value:>7.1f} {unit:<3} {readings}")
        points.append(f"{label}: {accepted.value:.1f} {unit} {readings}")
    parts = ["\n".join(table(rows, title, points))]
    for title, told in (
        ("Could not be taken", not_taken(one.state.known.answers) if one.state else []),
        ("Notes", [f"at {key}: {text}" for key, text in one.state.notes] if one.state else []),
        ("Corrections", [_correction(each) for each in one.corrections]),
    ):
        if told:
            parts.append("\n".join([title, *map(bullet, told)]))
    parts.append(wrap(f"Body fat, likely: {_range(one, result)}"))
    if _made(result):
        parts.append(wrap(_made(result)))
    if result.health.flags:
        parts.append(flags_part(result.health, with_intake=False))
    if visit.intake.has_eating_concern:
        parts.insert(0, wrap(CAREFUL))
    return "\n\n".join(parts)


def _correction(one: Correction) -> str:
    what = one.name if one.name in LINES else f"{BY_NAME[one.name].label}, reading {one.turn}"
    done = "taken out" if one.value is None else f"put to {one.value}"
    return f"{one.at[:10]}: {what} {done} by {one.who}: {one.why}"
