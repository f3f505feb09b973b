"""What the Car step shows: bodies, size, paint, what the car has, condition, and preparation."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from configurator.domain.body.records import Side, Size
from configurator.domain.body.style import BodyStyle, Feature
from configurator.domain.selection import GivenSize, Material, Selection, Stripes
from configurator.domain.shop import Shop
from configurator.web.visitor.car_form import LENGTHS, MOST_RESPRAYED, PAIRED, STRIPE_SHAPE
from configurator.web.visitor.plan import Plan
from configurator.wording.words import Words

Option = tuple[str, str]
MM_PER_INCH = 25.4
"""Exact by definition (international yard and pound agreement, 1959)."""
BODY_ORDER = ("coupe", "sedan", "hatchback", "wagon", "suv", "pickup", "van", "convertible")
"""As the contract lists them; a style it doesn't know comes last."""
PARTS_TO_ASK = ("front_lip", "rear_lip", "grille", "cladding", "mirror", "rear_spoiler", "hood", "roof", "rear_lid")
"""Parts that are often made of something else than the rest of the skin."""
SURFACES = tuple(
    material
    for material in Material
    if material not in {Material.FABRIC, Material.LENS, Material.LAMINATED_GLASS, Material.TEMPERED_GLASS, Material.BLACK_TRIM}
)


@dataclass(frozen=True)
class BodyCard:
    id: str
    name: str
    checked: bool


@dataclass(frozen=True)
class LengthField:
    """One of the four lengths: what was typed or measured, and what that body usually has."""

    name: str
    label: str
    value: str
    usual: str


@dataclass(frozen=True)
class Tick:
    id: str
    name: str
    checked: bool


@dataclass(frozen=True)
class PartField:
    """A part whose material is asked for; `usual` names what stands there when nothing is picked."""

    id: str
    name: str
    value: str


@dataclass(frozen=True)
class ResprayRow:
    number: int
    panel: str
    day: str


@dataclass(frozen=True)
class StripeFields:
    count: str
    width: str
    gap: str
    offset: str
    finish: str
    border: str


@dataclass(frozen=True)
class CarPage:
    bodies: tuple[BodyCard, ...]
    measured: bool
    unit: str
    typical: str
    lengths: tuple[LengthField, ...]
    features: tuple[Tick, ...]
    usual_features: str
    materials: tuple[Option, ...]
    parts: tuple[PartField, ...]
    panels: tuple[Option, ...]
    resprayed: tuple[ResprayRow, ...]
    striped: bool
    stripes: StripeFields
    old_film: tuple[Tick, ...]
    fuel_doors: tuple[Option, ...]
    fuel_door: str


def car_page(plan: Plan, shop: Shop, words: Words, *, sent: Mapping[str, str], has_faults: bool) -> CarPage:
    """The page for a plan. `sent` are the form's helper fields: with faults the lengths stand as they were typed."""
    typed = sent if has_faults else {}
    given, style = plan.given, plan.style
    unit = "in" if words.inches else "mm"
    panels = _film_panels(plan, words)
    return CarPage(
        bodies=tuple(BodyCard(id, words.name("body", id), id == style.id) for id in in_order(shop.styles)),
        measured=sent.get("size") == "measured" or given.vehicle.size != GivenSize(),
        unit=unit,
        typical=size_text(style.typical_size, words),
        lengths=tuple(_length(name, given, style, unit, typed, words) for name in LENGTHS),
        features=tuple(Tick(id, words.name("feature", id), id in _features(plan)) for id in Feature if id in style.possible_features),
        usual_features=".".join(sorted(style.usual_features)),
        materials=(("", words.gettext("As usual")), *((material.value, words.name("material", material.value)) for material in SURFACES)),
        parts=tuple(_part(part, plan, words) for part in PARTS_TO_ASK if _panel_of(part) in plan.estimate.scope.panels),
        panels=panels,
        resprayed=tuple(_respray_rows(given.vehicle.resprayed)),
        striped=given.vehicle.stripes is not None,
        stripes=_stripes(given.vehicle.stripes),
        old_film=tuple(Tick(id, name, id in given.vehicle.remove_film) for id, name in panels),
        fuel_doors=tuple(_fuel_door(side, style, words) for side in (Side.LEFT, Side.RIGHT)),
        fuel_door="" if given.vehicle.fuel_door in (None, style.fuel_door) else str(given.vehicle.fuel_door),
    )


def in_order(styles: Iterable[str]) -> list[str]:
    """Body styles in the order in which they are offered."""
    return sorted(styles, key=lambda id: BODY_ORDER.index(id) if id in BODY_ORDER else len(BODY_ORDER))


def _fuel_door(side: Side, style: BodyStyle, words: Words) -> Option:
    """The body's own side is said by saying nothing."""
    return "" if side is style.fuel_door else side.value, words.name("side", side.value)


def size_text(size: Size, words: Words) -> str:
    """Length, width and height."""
    return " × ".join(words.length(value) for value in (size.length_mm, size.width_mm, size.height_mm))


def _features(plan: Plan) -> frozenset[str]:
    return plan.estimate.selection.vehicle.features or frozenset()


def _length(name: str, given: Selection, style: BodyStyle, unit: str, typed: Mapping[str, str], words: Words) -> LengthField:
    value = getattr(given.vehicle.size, f"{name}_mm")
    label = {
        "length": words.gettext("Length"),
        "width": words.gettext("Width without mirrors"),
        "height": words.gettext("Height"),
        "wheelbase": words.gettext("Wheelbase"),
    }[name]
    text = typed.get(name) or ("" if value is None else figure_in(value, unit))
    return LengthField(name, label, text, figure_in(getattr(style.typical_size, f"{name}_mm"), unit))


def figure_in(value_mm: float, unit: str) -> str:
    """A length as a plain figure for an input field."""
    value = value_mm / MM_PER_INCH if unit == "in" else value_mm
    return f"{value:.1f}".removesuffix(".0")


def _panel_of(part: str) -> str:
    return f"{part}_left" if part in PAIRED else part


def _part(part: str, plan: Plan, words: Words) -> PartField:
    panel = _panel_of(part)
    body = plan.given.vehicle.body
    name = {"mirror": words.gettext("Mirror caps"), "cladding": words.gettext("Side cladding")}.get(part) or words.name(
        "panel", panel, body=body
    )
    material = plan.given.vehicle.surfaces.get(panel)
    return PartField(part, name, material.value if material else "")


def _film_panels(plan: Plan, words: Words) -> tuple[Option, ...]:
    body = plan.given.vehicle.body
    return tuple((id, words.name("panel", id, body=body)) for id in plan.estimate.scope.panels)


def _respray_rows(resprayed: Mapping[str, date]) -> Iterable[ResprayRow]:
    """A row for each resprayed panel and an empty one for the next."""
    given = [ResprayRow(number, panel, day.isoformat()) for number, (panel, day) in enumerate(resprayed.items())]
    yield from given[:MOST_RESPRAYED]
    if len(given) < MOST_RESPRAYED:
        yield ResprayRow(len(given), "", "")


def _stripes(stripes: Stripes | None) -> StripeFields:
    if stripes is None:
        count, width, gap, offset = (usual for _, usual in STRIPE_SHAPE)
        return StripeFields(count, width, gap, offset, "", "")
    count, width, gap, offset = (figure_in(value, "mm") for value in (stripes.count, stripes.width_mm, stripes.gap_mm, stripes.offset_mm))
    border = f"{figure_in(stripes.border.width_mm, 'mm')},{stripes.border.finish}" if stripes.border else ""
    return StripeFields(count, width, gap, offset, stripes.finish, border)
