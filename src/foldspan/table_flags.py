"""Flag columns of a table: the codes raised for every row, and the most urgent level among them."""

from __future__ import annotations

from itertools import product

import numpy as np

from foldspan.catalogue.card import Array
from foldspan.flags import Chances, chances_of, chances_without_range, raised
from foldspan.indices import Measured, indices_of
from foldspan.quantities import SEXES
from foldspan.reconciliation import People, Reconciled, Settings
from foldspan.standards.rules import LEVELS, RULES
from foldspan.table_clients import Clients
from foldspan.two_scales import fat_on


class FlagColumns:
    """``codes`` holds the codes of every row, the most urgent first; ``worst`` the highest level."""

    def __init__(self, length: int) -> None:
        self.codes: Array = np.full(length, "", dtype=object)
        self.worst: Array = np.full(length, "", dtype=object)

    def fill(
        self, clients: Clients, some: Array, people: People, answer: Reconciled, settings: Settings
    ) -> None:
        """Write the flags of some adults of one sex."""
        here = Measured(answer.combined.estimate, answer.combined.se)
        fat = {"density": fat_on("density", people, settings, here)}
        indices = indices_of(
            people.sex, people.columns, people.reading_se, clients.background[some], fat
        )
        is_strong = clients.athlete[some] > 0
        self._write(some, chances_of(indices, clients.told.some(some), is_strong=is_strong))

    def fill_without_range(self, clients: Clients) -> None:
        """Write what was told by those who get no adult range."""
        known = np.where(np.isin(clients.sex.astype(str), SEXES), clients.sex, "")
        for expecting, sex in product((True, False), (*SEXES, "")):
            some = np.flatnonzero(
                ~clients.able & (clients.is_expecting == expecting) & (known == sex)
            )
            if some.size:
                chances = chances_without_range(
                    clients.told.some(some),
                    sex,
                    clients.columns["age_years"][some],
                    clients.background[some],
                    clients.bmi(some),
                    is_expecting=expecting,
                )
                self._write(some, chances)

    def _write(self, some: Array, chances: Chances) -> None:
        rows = raised(chances)
        for level in reversed(LEVELS):
            for rule in RULES:
                if rule.level != level or rule.code not in rows:
                    continue
                hit = some[rows[rule.code]]
                self.codes[hit] = [
                    f"{old}; {rule.code}" if old else rule.code for old in self.codes[hit]
                ]
                fresh = hit[self.worst[hit] == ""]
                self.worst[fresh] = level
