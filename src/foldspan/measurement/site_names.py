"""Site names: which measurement somebody means, by its label, its name or a beginning of either."""

from __future__ import annotations

import re
from collections.abc import Iterable

from foldspan.quantities import BY_NAME, MEASURED, SUPRAILIAC_CHOICES, WAIST_LEVELS

# what sites were called before their labels followed the words of the field: whoever learnt them types
# them on
EARLIER_LABELS = {
    "waist_iliac_cm": "waist, top of hip bone",
    "suprailiac_anterior_mm": "suprailiac fold, front armpit line",
    "suprailiac_midaxillary_mm": "suprailiac fold, mid armpit line",
}


def sites_named(text: str, among: Iterable[str] = MEASURED) -> tuple[str, ...]:
    """Return the quantities that a typed name may mean: one where it is plain, none, or several.

    The label (``triceps skinfold``), the name (``thigh_mm``) and the name without its unit (``thigh``)
    come first; then a beginning of one of them; then words that each begin a word of the label. Where
    none of that fits, the labels that sites had before are tried in the same way.
    Capitals, commas, hyphens and underscores make no difference.

    Parameters
    ----------
    text : str
        What was typed.
    among : iterable of str
        Quantity names that come into question.

    Examples
    --------
    >>> sites_named("Waist, mid")
    ('waist_midpoint_cm',)
    """
    typed, names = _plain(text), tuple(among)
    if not typed:
        return ()
    earlier = {name: (_plain(EARLIER_LABELS[name]),) for name in names if name in EARLIER_LABELS}
    for forms in ({name: _forms(name) for name in names}, earlier):
        for fits in (_is_same, _begins, _has_words):
            fitting = tuple(name for name in forms if fits(typed, forms[name]))
            if fitting:
                return fitting
    return ()


def suprailiac_sites(ending: str = "") -> tuple[str, str]:
    """Return what is wrong with a bare ``suprailiac``, and the names to choose from."""
    first, second, third = (f"{name}{ending}" for name in SUPRAILIAC_CHOICES)
    return "three different sites share that name", f"{first}, {second} or {third}"


def waist_levels(unit: str = "") -> tuple[str, str]:
    """Return what is wrong with a bare ``waist``, and the names to choose from with how to tell them.

    ``unit`` is the ending of the names, such as ``cm``; "" for the names of a visit file.
    """
    names = [name.removesuffix("_cm") + (f"_{unit}" if unit else "") for name in WAIST_LEVELS]
    levels = [f"{name} ({how})" for name, how in zip(names, WAIST_LEVELS.values(), strict=True)]
    return "a waist can be measured at four levels", f"{', '.join(levels[:-1])} or {levels[-1]}"


def _plain(text: str) -> str:
    words = re.findall(r"[^\W_]+", text.lower())
    return " ".join("skinfold" if word == "skinfolds" else word for word in words)


def _forms(name: str) -> tuple[str, ...]:
    quantity = BY_NAME[name]
    label = _plain(quantity.label)
    # a "fold" is a skinfold in every gym
    names = (label, label.replace("skinfold", "fold"), name, quantity.short_name)
    return tuple(map(_plain, names))


def _is_same(typed: str, forms: tuple[str, ...]) -> bool:
    return typed in forms


def _begins(typed: str, forms: tuple[str, ...]) -> bool:
    return any(form.startswith(typed) for form in forms)


def _has_words(typed: str, forms: tuple[str, ...]) -> bool:
    words = " ".join(forms).split()
    return all(any(word.startswith(beginning) for word in words) for beginning in typed.split())
