"""The page of the testers' own errors: no class for a tester before there are clients to tell by."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np

from browser_attacks import sender_at
from foldspan.api.precision import precision
from foldspan.cli.printed.precision import page
from foldspan.measurement.technical_error import ENOUGH_CLIENTS, Repeat, grade, within
from measure_driver import MAN


def test_after_one_client_nobody_is_called_skilled(begun: Path) -> None:
    with sender_at(begun) as hand:
        hand.go("/session/v1")
        hand.walk(MAN)
        hand.go("/precision")
        targets = re.findall(r'data-name="Target">([^<]*)<', hand.page)
    assert "too few to say" in targets
    assert set(targets) <= {"too few to say", ""}
    assert f"under {ENOUGH_CLIENTS} clients" in hand.page


def test_a_class_is_named_from_ten_clients_on() -> None:
    """Ten clients read twice are ten degrees of freedom: limits of 0.70 and 1.75 times the error."""
    for clients, found in ((1, "too_few"), (9, "too_few"), (10, "skilled")):
        readings = np.column_stack([np.full(clients, 20.0), np.full(clients, 20.5)])
        error = within(readings)
        assert error is not None
        assert grade(error, 5.0, 7.5)[0] == found
        assert error.degrees == clients
    low, high = (end / error.tem for end in error.bounds)
    assert (round(low, 2), round(high, 2)) == (0.7, 1.75)


def test_the_printed_table_says_so_too() -> None:
    given = [Repeat(f"K-{n}", "T-01", "triceps_mm", (20.0, 20.5)) for n in range(9)]
    text = page(precision(given))
    assert re.search(r"T-01 +9 .* too few$", text, re.MULTILINE)
    assert not re.search(r" (skilled|beginner|outside)\??$", text, re.MULTILINE)
