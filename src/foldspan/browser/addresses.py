"""Addresses: every page with its method and its view; none names a client, only numbers of visits."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from foldspan.browser import json_api
from foldspan.browser.views import (
    client,
    devices,
    entrance,
    precision,
    result,
    session,
    today,
    turned,
    why,
)
# what a device may ask for while it is turned round to a client, and while it is locked
WHILE_TURNED = (turned.turned_page, turned.turn_back)
WHILE_LOCKED = (devices.locked_page, devices.unlock, entrance.enter, entrance.pair_page, entrance.pair)

ROUTES: tuple[tuple[str, str, Callable[[Any], Any]], ...] = (
    ("/", "GET", today.today),
    ("/enter/{key}", "GET", entrance.enter),
    ("/pair", "GET", entrance.pair_page),
    ("/pair", "POST", entrance.pair),
    ("/session", "POST", today.begin),
    ("/session/{key}", "GET", session.ask_page),
    ("/session/{key}", "POST", session.answer),
    ("/session/{key}/turn", "GET", session.turn),
    ("/session/{key}/result", "GET", result.result_page),
    ("/session/{key}/more", "POST", result.go_on),
    ("/session/{key}/why", "GET", why.why_page),
    ("/session/{key}/why", "POST", why.check_sheet),
    ("/clients", "GET", client.all_clients),
    ("/visit/{key}", "GET", client.client_page),
    ("/visit/{key}/page", "GET", client.document),
    ("/visit/{key}/export", "GET", client.export),
    ("/visit/{key}/correct", "POST", client.correct_visit),
    ("/visit/{key}/erase", "GET", client.erase),
    ("/visit/{key}/erase", "POST", client.erase),
    ("/precision", "GET", precision.precision_page),
    ("/devices", "GET", devices.devices_page),
    ("/devices/code", "POST", devices.new_code),
    ("/devices/revoke", "POST", devices.revoke),
    ("/lock", "POST", devices.lock),
    ("/locked", "GET", devices.locked_page),
    ("/unlock", "POST", devices.unlock),
    ("/api/v1/reconcile", "POST", json_api.reconcile_json),
    ("/api/v1/explain", "POST", json_api.explain_json),
    ("/api/v1/change", "POST", json_api.change_json),
    ("/api/v1/openapi.json", "GET", json_api.openapi_json),
    ("/turned", "GET", turned.turned_page),
    ("/turned", "POST", turned.turn_round),
    ("/turned/back", "POST", turned.turn_back),
)
