"""The selection document, version 1: its shape, read and written. What it means for a body is `domain.resolving`'s."""

from collections.abc import Mapping
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from marshmallow import ValidationError

from configurator.domain.body.records import Side, Size
from configurator.domain.selection import (
    Border,
    Correction,
    GivenSize,
    LampFilm,
    Material,
    Package,
    Paint,
    PaintCondition,
    Selection,
    Stripes,
    Treatment,
    Vehicle,
)
from configurator.errors import Fault, InvalidInput
from configurator.wire.faults import refuse
from configurator.wire.fields import Choice, Day, Flag, Id, Listed, Number, Part, StrictSchema, Table, Whole

MOST_PANELS = 80
NAMEABLE_MATERIALS = (
    Material.GLOSS_PAINT,
    Material.MATTE_PAINT,
    Material.GLOSS_PLASTIC,
    Material.TEXTURED_PLASTIC,
    Material.CARBON_GLOSS,
    Material.CARBON_MATTE,
    Material.BRIGHT_TRIM,
    Material.VINYL,
)
"""What `vehicle.surfaces` may say of a panel; lenses, panes and fabric roofs are what the body says they are."""


class FuelDoorSide(StrEnum):
    """A fuel door is never in the middle."""

    LEFT = "left"
    RIGHT = "right"


class SizeSchema(StrictSchema):
    """Each may be given alone. The bounds here keep out nonsense; the body style's own range comes later."""

    length_mm = Number(low=1000, high=12000)
    width_mm = Number(low=500, high=4000)
    height_mm = Number(low=500, high=4000)
    wheelbase_mm = Number(low=500, high=9000)


class BorderSchema(StrictSchema):
    width_mm = Number(low=3, high=40, required=True)
    finish = Id(required=True)


class StripesSchema(StrictSchema):
    count = Whole(low=1, high=2, required=True)
    width_mm = Number(low=50, high=600, required=True)
    gap_mm = Number(low=0, high=400, load_default=0.0)
    offset_mm = Number(low=-600, high=600, load_default=0.0)
    finish = Id(required=True)
    border = Part(BorderSchema, allow_none=True, load_default=None)


class ConditionSchema(StrictSchema):
    paint = Choice(PaintCondition, load_default=PaintCondition.NEW)
    resprayed = Table(Day(), load_default=dict)


class PrepSchema(StrictSchema):
    correction = Choice(Correction, load_default=Correction.NONE)
    remove_film = Listed(Id(), most=MOST_PANELS, load_default=list)
    coated = Flag(load_default=False)


class VehicleSchema(StrictSchema):
    body = Id(required=True)
    size = Part(SizeSchema, load_default=dict)
    paint = Choice(Paint, load_default=Paint.GLOSS)
    features = Listed(Id(), most=30)
    fuel_door = Choice(FuelDoorSide)
    surfaces = Table(Choice(NAMEABLE_MATERIALS), load_default=dict)
    stripes = Part(StripesSchema, allow_none=True, load_default=None)
    condition = Part(ConditionSchema, load_default=lambda: ConditionSchema().load({}))
    prep = Part(PrepSchema, load_default=lambda: PrepSchema().load({}))


class CoverageSchema(StrictSchema):
    package = Choice(Package, load_default=Package.NONE)
    add = Listed(Id(), most=MOST_PANELS, load_default=list)
    remove = Listed(Id(), most=MOST_PANELS, load_default=list)


class FinishSchema(StrictSchema):
    default = Id(load_default="match")
    panels = Table(Id(), load_default=dict)


class LampsSchema(StrictSchema):
    headlamps = Choice(LampFilm)
    fog_lamps = Choice(LampFilm)
    tail_lamps = Choice(LampFilm)


class SelectionSchema(StrictSchema):
    """Only `version` and `vehicle.body` are required; unknown names are refused, nothing is guessed."""

    version = Whole(low=1, high=1, required=True)
    vehicle = Part(VehicleSchema, required=True)
    coverage = Part(CoverageSchema, load_default=lambda: CoverageSchema().load({}))
    finish = Part(FinishSchema, load_default=lambda: FinishSchema().load({}))
    edges = Choice(Treatment, load_default=Treatment.WRAPPED)
    lamps = Part(LampsSchema, load_default=dict)
    windshield = Choice(LampFilm, load_default=LampFilm.NONE)
    region = Id(load_default=None)
    drop_off = Day(load_default=None)


def load_selection(document: object) -> Selection:
    """The selection in a document. Raises InvalidInput with every fault of shape, each with its path."""
    if not isinstance(document, Mapping):
        raise InvalidInput([Fault("", "must_be_an_object")])
    try:
        loaded = SelectionSchema().load(document)
    except ValidationError as error:
        raise refuse(error) from None
    return selection_of(loaded)


def selection_of(loaded: Mapping[str, Any]) -> Selection:
    """The record for what the schema let through."""
    coverage, finish = loaded["coverage"], loaded["finish"]
    return Selection(
        vehicle=_vehicle(loaded["vehicle"]),
        package=coverage["package"],
        add=tuple(coverage["add"]),
        remove=tuple(coverage["remove"]),
        default_finish=finish["default"],
        panel_finishes=MappingProxyType(dict(finish["panels"])),
        edges=loaded["edges"],
        lamps=MappingProxyType(dict(loaded["lamps"])),
        windshield=loaded["windshield"],
        region=loaded["region"],
        drop_off=loaded["drop_off"],
    )


def _vehicle(vehicle: Mapping[str, Any]) -> Vehicle:
    stripes, condition, prep = vehicle["stripes"], vehicle["condition"], vehicle["prep"]
    return Vehicle(
        body=vehicle["body"],
        size=GivenSize(**vehicle["size"]),
        paint=vehicle["paint"],
        features=frozenset(vehicle["features"]) if "features" in vehicle else None,
        fuel_door=Side(vehicle["fuel_door"]) if "fuel_door" in vehicle else None,
        surfaces=MappingProxyType(dict(vehicle["surfaces"])),
        stripes=_stripes(stripes) if stripes else None,
        paint_condition=condition["paint"],
        resprayed=MappingProxyType(dict(condition["resprayed"])),
        correction=prep["correction"],
        remove_film=tuple(prep["remove_film"]),
        coated=prep["coated"],
    )


def _stripes(stripes: Mapping[str, Any]) -> Stripes:
    border = stripes["border"]
    return Stripes(**{**stripes, "border": Border(**border) if border else None})


def dump_selection(selection: Selection) -> dict[str, Any]:
    """The document of a selection; of a resolved one with every default filled in. Loading it gives the same selection."""
    document: dict[str, Any] = {
        "version": 1,
        "vehicle": _dump_vehicle(selection.vehicle),
        "coverage": {"package": str(selection.package), "add": list(selection.add), "remove": list(selection.remove)},
        "finish": {"default": selection.default_finish, "panels": dict(selection.panel_finishes)},
        "edges": str(selection.edges),
        "lamps": {group: str(film) for group, film in selection.lamps.items()},
        "windshield": str(selection.windshield),
    }
    if selection.region is not None:
        document["region"] = selection.region
    if selection.drop_off is not None:
        document["drop_off"] = selection.drop_off.isoformat()
    return document


def _dump_vehicle(vehicle: Vehicle) -> dict[str, Any]:
    document: dict[str, Any] = {"body": vehicle.body}
    size = _dump_size(vehicle.size)
    if size:
        document["size"] = size
    document["paint"] = str(vehicle.paint)
    if vehicle.features is not None:
        document["features"] = sorted(vehicle.features)
    if vehicle.fuel_door is not None:
        document["fuel_door"] = str(vehicle.fuel_door)
    document["surfaces"] = {panel: str(material) for panel, material in vehicle.surfaces.items()}
    document["stripes"] = _dump_stripes(vehicle.stripes) if vehicle.stripes else None
    document["condition"] = {
        "paint": str(vehicle.paint_condition),
        "resprayed": {panel: day.isoformat() for panel, day in vehicle.resprayed.items()},
    }
    document["prep"] = {"correction": str(vehicle.correction), "remove_film": list(vehicle.remove_film), "coated": vehicle.coated}
    return document


def _dump_size(size: GivenSize | Size) -> dict[str, float]:
    given = {name: getattr(size, name) for name in ("length_mm", "width_mm", "height_mm", "wheelbase_mm")}
    return {name: plain(value) for name, value in given.items() if value is not None}


def _dump_stripes(stripes: Stripes) -> dict[str, Any]:
    return {
        "count": stripes.count,
        "width_mm": plain(stripes.width_mm),
        "gap_mm": plain(stripes.gap_mm),
        "offset_mm": plain(stripes.offset_mm),
        "finish": stripes.finish,
        "border": {"width_mm": plain(stripes.border.width_mm), "finish": stripes.border.finish} if stripes.border else None,
    }


def plain(value: float) -> float:
    """A number as a person would write it: 4700 and not 4700.0."""
    return int(value) if value == int(value) else round(value, 3)
