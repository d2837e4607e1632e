"""Count anew how often flags are raised and chances kept: ``python tests/house/renew_rates.py``.

Writes ``cli/doc_pages/health_rates.py``, from which docs/health-tables.md is made.
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from foldspan.quantities import SEXES
from interpretation.test_low_fat_found import shares
from learning import learnt_tables
from open_data.flag_rates import chances_kept, rates_of_flags

MODULE = "cli/doc_pages/health_rates"
PEOPLE = {"female": "women", "male": "men"}


def main() -> None:
    """Write the three tables."""
    lines = [f'    "{code}": {rate:.1f},' for code, rate in rates_of_flags().items()]
    head = "SURVEY_RATES: dict[str, float] = {"
    learnt_tables.write(MODULE, "SURVEY_RATES", [head, *lines, "}"])

    lines = []
    for sex in SEXES:
        found = ", ".join(f'"{name}": {share:.1f}' for name, share in shares(sex).items())
        lines.append(f'    "{sex}": {{{found}}},')
    head = "LOW_FAT_FOUND: dict[str, dict[str, float]] = {"
    learnt_tables.write(MODULE, "LOW_FAT_FOUND", [head, *lines, "}"])

    lines = []
    for sex in SEXES:
        fifths = ", ".join(f"({row.p:.2f}, {row.y:.2f})" for row in chances_kept(sex).itertuples())
        lines.append(f'    "{PEOPLE[sex]}": ({fifths}),')
    head = "CHANCES_KEPT: dict[str, tuple[tuple[float, float], ...]] = {"
    learnt_tables.write(MODULE, "CHANCES_KEPT", [head, *lines, "}"])


if __name__ == "__main__":
    main()
