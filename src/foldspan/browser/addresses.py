"""Addresses: every page with its method and its view; none names a client, only numbers of visits.

A view is named by its module in ``views/`` and its function, and loaded when it is first asked for: the
first page is there in a second.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from importlib import import_module
from typing import Any

ROUTES: tuple[tuple[str, str, str], ...] = (
    ("GET", "/", "today.today"),
    ("GET", "/enter/{key}", "entrance.enter"),
    ("GET", "/pair", "entrance.pair_page"),
    ("POST", "/pair", "entrance.pair"),
    ("POST", "/session", "today.begin"),
    ("GET", "/session/{key}", "session.ask_page"),
    ("POST", "/session/{key}", "session.answer"),
    ("GET", "/session/{key}/turn", "session.turn"),
    ("GET", "/session/{key}/result", "result.result_page"),
    ("POST", "/session/{key}/more", "result.go_on"),
    ("GET", "/session/{key}/why", "why.why_page"),
    ("POST", "/session/{key}/why", "why.check_sheet"),
    ("GET", "/turned", "turned.turned_page"),
    ("POST", "/turned", "turned.turn_round"),
    ("POST", "/turned/back", "turned.turn_back"),
    ("GET", "/clients", "client.all_clients"),
    ("POST", "/clients", "client.all_clients"),
    ("GET", "/visit/{key}", "client.client_page"),
    ("GET", "/visit/{key}/page", "client.document"),
    ("GET", "/visit/{key}/export", "client.export"),
    ("POST", "/visit/{key}/correct", "client.correct_visit"),
    ("GET", "/visit/{key}/erase", "client.erase"),
    ("POST", "/visit/{key}/erase", "client.erase"),
    ("GET", "/precision", "precision.precision_page"),
    ("GET", "/equations", "equations.list_page"),
    ("GET", "/equations/{key}", "equations.card_page"),
    ("POST", "/equations/{key}", "equations.value_page"),
    ("GET", "/tables", "table.tables_page"),
    ("POST", "/tables", "table.send"),
    ("GET", "/tables/{key}", "table.table_page"),
    ("GET", "/tables/{key}/now", "table.now"),
    ("POST", "/tables/{key}/sheet", "table.choose_sheet"),
    ("GET", "/tables/{key}/columns", "table.columns_page"),
    ("POST", "/tables/{key}/columns", "table.screen"),
    ("GET", "/tables/{key}/before", "table.before_page"),
    ("POST", "/tables/{key}/before", "table.send_before"),
    ("POST", "/tables/{key}/stop", "table.stop"),
    ("POST", "/tables/{key}/delete", "table.delete"),
    ("GET", "/tables/{key}/referrals", "table_results.referrals"),
    ("POST", "/tables/{key}/referrals", "table_results.referrals"),
    ("GET", "/tables/{key}/problems", "table_results.problems"),
    ("POST", "/tables/{key}/letters", "table_results.letters"),
    ("GET", "/tables/{key}/files/{name}", "table_results.file"),
    ("GET", "/tables/{key}/group", "table_results.group"),
    ("GET", "/tables/{key}/rows/{row}", "table_row.row_page"),
    ("GET", "/tables/{key}/rows/{row}/page", "table_row.document"),
    ("GET", "/devices", "devices.devices_page"),
    ("POST", "/devices/code", "devices.new_code"),
    ("POST", "/devices/revoke", "devices.revoke"),
    ("POST", "/lock", "devices.lock"),
    ("GET", "/locked", "devices.locked_page"),
    ("POST", "/unlock", "devices.unlock"),
    ("POST", "/api/v1/reconcile", "json_api.reconcile_json"),
    ("POST", "/api/v1/explain", "json_api.explain_json"),
    ("POST", "/api/v1/change", "json_api.change_json"),
    ("GET", "/api/v1/equations", "equations_api.equations_json"),
    ("GET", "/api/v1/equations/{key}", "equations_api.equation_json"),
    ("POST", "/api/v1/equations/{key}/value", "equations_api.value_json"),
    ("POST", "/api/v1/tables", "table_api.send_table"),
    ("GET", "/api/v1/tables/{key}", "table_api.table_state"),
    ("DELETE", "/api/v1/tables/{key}", "table_api.delete_table"),
    ("POST", "/api/v1/tables/{key}/screen", "table_api.screen_table"),
    ("POST", "/api/v1/tables/{key}/letters", "table_api.write_letters"),
    ("GET", "/api/v1/tables/{key}/files/{name}", "table_api.table_file"),
    ("GET", "/api/v1/openapi.json", "json_api.openapi_json"),
)
# what a device may ask for while it is turned round to a client, and while it is locked
WHILE_TURNED = ("turned.turned_page", "turned.turn_back")
WHILE_LOCKED = (
    "devices.locked_page", "devices.unlock", "entrance.enter", "entrance.pair_page", "entrance.pair",
)  # fmt: skip
# what writes in the book: it waits for its turn while another session holds it
WRITES = (
    "today.begin", "session.answer", "result.go_on", "client.correct_visit", "client.erase",
)  # fmt: skip
# what a page asks for by itself, while nobody touches it: no use that would keep a device unlocked
BY_ITSELF = ("session.turn", "table.now")
# what takes a file; the guard lets more through there
UPLOADS = ("table.send", "table.send_before", "table_api.send_table")


def is_for_programs(name: str) -> bool:
    """Whether a view answers programs: its module ends in ``_api``."""
    return name.partition(".")[0].endswith("_api")


@cache
def view_of(name: str) -> Callable[[Any], Any]:
    """Return a view by its name."""
    module, _, function = name.partition(".")
    found: Callable[[Any], Any] = getattr(
        import_module(f"foldspan.browser.views.{module}"), function
    )
    return found


def load_all() -> None:
    """Load every view, so that none is waited for."""
    for _, _, name in ROUTES:
        view_of(name)
