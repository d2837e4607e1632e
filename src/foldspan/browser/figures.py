"""Figures: the schematic person in a page, made once for each site and each plan."""

from __future__ import annotations

from functools import lru_cache

from foldspan.figures.body import body_svg
from foldspan.figures.body_site import site_svg


@lru_cache(maxsize=128)
def close_up(name: str, variant: str) -> str:
    """Return one site close up, with its landmarks named, as SVG for a page."""
    return site_svg((name, variant))


@lru_cache(maxsize=64)
def whole_figure(sites: tuple[str, ...], title: str) -> str:
    """Return the person with every site of a plan, as SVG for a page."""
    return body_svg(sites, is_numbered=False, title=title)
