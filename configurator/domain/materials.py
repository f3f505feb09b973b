"""What a panel is made of, whether film holds on it, and which finish matches it."""

from collections.abc import Mapping

from configurator.domain.body.records import Panel, Surface
from configurator.domain.coverage import host_of
from configurator.domain.message import Fact, Message
from configurator.domain.price_book import PriceBook
from configurator.domain.selection import Material, Paint, Vehicle

MATCH = "match"
GLOSS, MATTE = "gloss", "matte"

_OF_SURFACE: Mapping[Surface, Material] = {
    Surface.GLOSS_PLASTIC: Material.GLOSS_PLASTIC,
    Surface.TEXTURED_PLASTIC: Material.TEXTURED_PLASTIC,
    Surface.BRIGHT_TRIM: Material.BRIGHT_TRIM,
    Surface.FABRIC: Material.FABRIC,
    Surface.LENS: Material.LENS,
    Surface.WINDSHIELD_GLASS: Material.LAMINATED_GLASS,
    Surface.OTHER_GLASS: Material.TEMPERED_GLASS,
    Surface.BLACK_TRIM: Material.BLACK_TRIM,
}
_MATCHING: Mapping[Material, str] = {
    Material.GLOSS_PAINT: GLOSS,
    Material.MATTE_PAINT: MATTE,
    Material.GLOSS_PLASTIC: GLOSS,
    Material.CARBON_GLOSS: GLOSS,
    Material.CARBON_MATTE: MATTE,
    Material.BRIGHT_TRIM: GLOSS,
    Material.VINYL: GLOSS,
}
"""The finish that looks like the surface under it; body film holds on these materials and no others."""


def material_of(panel: Panel, vehicle: Vehicle) -> Material:
    """The visitor's own word for the panel (or the one it lies on), else what the body says it is, painted as the car is."""
    for id in (panel.id, host_of(panel.id) or panel.id):
        if id in vehicle.surfaces:
            return vehicle.surfaces[id]
    if panel.surface is Surface.PAINT:
        return Material.GLOSS_PAINT if vehicle.paint is Paint.GLOSS else Material.MATTE_PAINT
    return _OF_SURFACE[panel.surface]


def takes_film(material: Material) -> bool:
    """Whether body film can hold: paint, smooth plastic, carbon, bright trim, vinyl; not grained plastic, fabric, glass, trim."""
    return material in _MATCHING


def finish_on(material: Material, asked: str, vehicle: Vehicle) -> str:
    """The finish that is laid: what was asked for, or what matches the surface (a vinyl stripe: the stripes' own finish)."""
    if asked != MATCH:
        return asked
    if material is Material.VINYL and vehicle.stripes:
        return vehicle.stripes.finish
    return _MATCHING[material]


def why_no_film(panel: Panel, material: Material, book: PriceBook) -> Message:
    """What the visitor is told of a surface that film can't hold on."""
    if material is not Material.TEXTURED_PLASTIC:
        return Message(f"no_film_on_{material}", {"panel": panel.id})
    new, filmable = book.replacement_parts.get(panel.id), book.filmable_parts.get(panel.id)
    facts: dict[str, Fact] = {"panel": panel.id, "currency": book.currency}
    if new is None:
        return Message("no_film_on_textured_plastic", facts)
    if filmable is None:
        return Message("no_film_on_textured_plastic_replace", {**facts, "replacement": new})
    return Message("no_film_on_textured_plastic_filmable", {**facts, "replacement": new, "filmable": filmable})


def what_to_know(panel: Panel, material: Material, finish: str) -> Message | None:
    """What the visitor is told of a surface that takes film, but not without a word."""
    if material is Material.MATTE_PAINT and finish == GLOSS:
        return Message("gloss_on_matte", {"panel": panel.id})
    if material is Material.GLOSS_PAINT and finish == MATTE:
        return Message("matte_on_gloss", {"panel": panel.id})
    if material in (Material.CARBON_MATTE, Material.VINYL, Material.GLOSS_PLASTIC, Material.BRIGHT_TRIM):
        return Message(f"film_on_{material}", {"panel": panel.id})
    return None
