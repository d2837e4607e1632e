"""Digests: what a row of the book is sealed with, so that a bit that flipped is found."""

from __future__ import annotations

import hashlib


def seal(*parts: object) -> str:
    """Return the digest of a row."""
    return hashlib.sha256("\x1f".join(map(str, parts)).encode()).hexdigest()
