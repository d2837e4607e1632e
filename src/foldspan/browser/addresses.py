"""Addresses: every page with its method and its view; none names a client, only numbers of visits."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from foldspan.browser.views import entrance, result, session, today, turned

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
    ("/turned", "GET", turned.turned_page),
    ("/turned", "POST", turned.turn_round),
    ("/turned/back", "POST", turned.turn_back),
)
