"""Picture of the sites: folds and girths beside the centiles of sex and age, where there are any."""

from __future__ import annotations

from functools import partial

from foldspan.figures.bars import Profile, SiteRow, draw_profile
from foldspan.pages.document import Picture
from foldspan.pages.inputs import Material
from foldspan.pages.trainer.centiles import centile_words, centiles_at, compared_with
from foldspan.quantities import BY_NAME
from foldspan.text.en.reconcile import capital


def profile_picture(material: Material) -> Picture | None:
    """Return folds and girths against the survey's centiles, None where none was taken."""
    language, panels, lines = material.language, list[Profile](), list[str]()
    people = compared_with(material)
    for kind in ("skinfold", "girth"):
        names = [
            name for name, quantity in BY_NAME.items()
            if quantity.kind == kind and name in material.visit.accepted
        ]  # fmt: skip
        if not names:
            continue
        rows = tuple(_row(material, name) for name in names)
        axis = language.say("picture.profile_axis", unit=material.units.unit_of(names[0]))
        title = language.say(f"picture.{kind}")
        if people:
            title = language.say("picture.profile_title", kind=title, people=people)
        panels.append(Profile(rows, axis, title))
        lines += [language.say("picture.row", name=row.label, value=row.value) for row in rows]
    if not panels:
        return None
    caption = (
        language.say("caption.profile", people=people) if people
        else language.say("sheet.no_centiles")
    )  # fmt: skip
    alt = language.say("picture.profile", rows="; ".join(lines))
    return Picture("profile", alt, partial(draw_profile, panels), caption)


def _row(material: Material, name: str) -> SiteRow:
    units, reading = material.units, material.visit.accepted[name].value
    value = material.language.say(
        "picture.profile_value",
        value=f"{units.shown(name, reading):.1f}", unit=units.unit_of(name),
        centile=centile_words(material, name),
    )  # fmt: skip
    limits = centiles_at(material, name) or ()
    centiles = tuple(units.shown(name, limit) for limit in limits)
    return SiteRow(capital(BY_NAME[name].label), value, units.shown(name, reading), centiles)
