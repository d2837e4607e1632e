"""Letters: what the earlier table adds to the letter of somebody who is flagged because of it."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.measurement.accepted_values import SCALE_END_SHARE
from foldspan.quantities import SEXES
from foldspan.results.spoken import Ground
from foldspan.screening.before.columns import Changes
from foldspan.screening.before.earlier import NO_DAY, Earlier
from foldspan.screening.letters import SinceEarlier
from foldspan.standards.referral_rules import SOME_LOSS
from foldspan.tables.answers import Answers
from foldspan.tables.clients import Clients
from foldspan.visit.from_row import RowFacts
from foldspan.visit.keys import HOME_OF

_FIRST_DAY = date(1970, 1, 1)
_WANTED = {1.0: "wanted", 0.0: "not_wanted"}


def since_earlier(
    answers: Answers, changes: Changes, earlier: Earlier, rows: Array
) -> dict[int, SinceEarlier]:
    """Return for those of some rows that are flagged by a loss what an earlier table adds."""
    chosen = rows[np.isin(rows, changes.losses.flagged)]
    records, clients = earlier.clients(changes.found[chosen])
    return {
        row: _since(answers, changes, row, _client(records[place], clients, place))
        for place, row in enumerate(chosen.tolist())
    }


def _client(record: Array, clients: Clients, place: int) -> RowFacts:
    """What the earlier table says of one client; readings are accepted values."""
    sites = {}
    for name in HOME_OF:
        site = clients.sites.get(name)
        if site is not None and not np.isnan(site.value[place]):
            is_at_least = bool(site.at_least[place])
            reading = float(site.value[place]) / (1.0 + SCALE_END_SHARE * is_at_least)
            sites[name] = ((reading,), is_at_least)
    age, day, sex = float(record["age"]), int(record["day"]), int(record["sex"])
    return RowFacts(
        sex=SEXES[sex] if sex >= 0 else None,
        age_years=None if np.isnan(age) else age,
        day=None if day == NO_DAY else _FIRST_DAY + timedelta(days=day),
        ancestry=clients.ancestry.different[clients.ancestry.places[place]],
        athlete=bool(record["athlete"]),
        sites=sites,
    )


def _since(answers: Answers, changes: Changes, row: int, then: RowFacts) -> SinceEarlier:
    lost, losses = {}, changes.losses
    (at,) = np.flatnonzero(losses.rows == row)[:1].tolist() or (-1,)
    if at >= 0 and losses.percent[at] >= SOME_LOSS:
        months = float(losses.months[at])
        wanted = float(answers.clients.reported.number("loss_wanted")[row])
        numbers = {"percent": -float(losses.percent[at])}
        numbers |= {} if np.isnan(months) else {"months": months}
        words = (_WANTED.get(wanted, "not_noted"),)
        lost["weight"] = Ground("weight", numbers, words, then.day)
    now = answers.clients.sites.get("height_cm")
    if now is not None and "height_cm" in then.sites:
        height = float(now.value[row])
        less = then.sites["height_cm"][0][0] - height
        lost["height"] = Ground("height", {"now": height, "less": less})
    return SinceEarlier(then, lost)
