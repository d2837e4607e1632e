"""Files of tests that take long, in the order in which they are begun: before all others.

A worker takes one file after the other. Where the long ones come last, the others wait for it to end.
After one that computes comes one that mostly waits for a terminal, a browser or a disk. A file
that is not here loses nothing but this; one that no longer exists is told by a test of the house.
"""

from __future__ import annotations

from pathlib import Path

TESTS = Path(__file__).parent
FIRST = (
    "fuzz/test_corpus.py",
    "browser/test_in_a_browser.py",
    "cli/test_measure_terminal.py",
    "pages/test_pages_browser.py",
    "house/test_shown_commands.py",
    "screening/test_screen_same.py",
    "screening/test_screen_stopped.py",
    "pages/test_trainer_sheet.py",
    "explanation/test_consistent_clients.py",
    "cli/test_measure_killed.py",
    "text/test_client_notices.py",
    "explanation/test_planted_causes.py",
    "property/test_same_bits.py",
    "screening/test_screen_cluster.py",
    "cli/test_report_command.py",
    "records/test_records_command.py",
    "screening/test_screen_memory.py",
    "figures/test_figures.py",
    "pages/test_page_formats.py",
    "property/test_same_bits_anywhere.py",
    "export/test_fhir.py",
    "house/test_house.py",
    "screening/test_screen_letters.py",
    "figures/test_category_charts.py",
    "cli/test_measure_screen.py",
    "explanation/test_one_advice.py",
    "validation/test_site_correction.py",
    "property/test_bad_input_property.py",
    "pages/test_pages.py",
    "measurement/test_outlier_search.py",
    "screening/test_screen_paths.py",
    "property/test_no_jumps.py",
    "property/test_reconcile_property.py",
    "records/test_records.py",
    "property/test_pages_property.py",
)
_PLACES = {TESTS / name: place for place, name in enumerate(FIRST)}


def place_of(path: Path) -> int:
    """Return the place of a file in that order; all others come after it, as they were."""
    return _PLACES.get(path, len(FIRST))
