"""Fills every default of a selection and refuses what can't be on this body with this price book, all faults at once."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType
from typing import TypeVar

from configurator.domain.body.build import build_body, check_features
from configurator.domain.body.records import Body, Panel, Size, Surface
from configurator.domain.body.scaling import size_faults
from configurator.domain.body.style import BodyStyle
from configurator.domain.coverage import is_body_panel, lamps_of_group
from configurator.domain.finish_bands import stripe_centres_mm
from configurator.domain.materials import MATCH
from configurator.domain.price_book import PriceBook
from configurator.domain.selection import LAMP_GROUPS, LampFilm, Package, Selection, Stripes, Vehicle
from configurator.errors import Fault, InvalidInput

DROP_OFF_DAYS = (date(2020, 1, 1), date(2058, 12, 31))
"""Days for which public holidays are known, a job's length before the last of them."""

Value = TypeVar("Value")


def resolve(selection: Selection, styles: Mapping[str, BodyStyle], book: PriceBook) -> Selection:
    """The selection with every default filled in, in a fixed order; resolving it again changes nothing.

    Raises InvalidInput with every fault found, each with its path (`coverage.add[1]`). An unknown body is found alone, since
    everything else is asked of the body.
    """
    style = styles.get(selection.vehicle.body)
    if style is None:
        raise InvalidInput([Fault("vehicle.body", "unknown_body", {"body": selection.vehicle.body})])
    size, features = _size(selection.vehicle, style), selection.vehicle.features
    features = style.usual_features if features is None else features
    faults = [*size_faults(style, size), *_feature_faults(style, features)]
    body = build_body(
        style,
        size=style.typical_size if faults else size,
        features=features & style.possible_features,
        fuel_door=selection.vehicle.fuel_door or style.fuel_door,
    )
    faults += _Check(selection, body, book).faults()
    if faults:
        raise InvalidInput(faults)
    return _filled(selection, body, book)


def _size(vehicle: Vehicle, style: BodyStyle) -> Size:
    """The given lengths, the style's typical ones for the rest."""
    names = ("length_mm", "width_mm", "height_mm", "wheelbase_mm")
    given = {name: getattr(vehicle.size, name) for name in names}
    return replace(style.typical_size, **{name: value for name, value in given.items() if value is not None})


def _feature_faults(style: BodyStyle, features: frozenset[str]) -> tuple[Fault, ...]:
    try:
        check_features(style, features)
    except InvalidInput as error:
        return error.faults
    return ()


@dataclass(frozen=True)
class _Check:
    """What is wrong with a selection, asked of its body and its price book."""

    selection: Selection
    body: Body
    book: PriceBook

    def faults(self) -> Iterator[Fault]:
        yield from self._surfaces()
        yield from self._condition()
        yield from self._stripes()
        yield from self._coverage()
        yield from self._finishes()
        yield from self._lamps()
        if self.selection.region is not None and self.selection.region not in self.book.regions:
            yield Fault("region", "unknown_region", {"region": self.selection.region})
        yield from self._drop_off()

    # -- the vehicle

    def _surfaces(self) -> Iterator[Fault]:
        for id in self.selection.vehicle.surfaces:
            yield from self._body_panel(f"vehicle.surfaces.{id}", id)

    def _condition(self) -> Iterator[Fault]:
        vehicle = self.selection.vehicle
        for id in vehicle.resprayed:
            yield from self._body_panel(f"vehicle.condition.resprayed.{id}", id)
        for index, id in enumerate(vehicle.remove_film):
            if not self._panel(id, lambda panel: panel.selectable):
                yield Fault(f"vehicle.prep.remove_film[{index}]", "unknown_panel", {"panel": id, "body": self.body.style})

    def _stripes(self) -> Iterator[Fault]:
        stripes, path = self.selection.vehicle.stripes, "vehicle.stripes"
        if stripes is None:
            return
        yield from self._finish(f"{path}.finish", stripes.finish, also=())
        if stripes.border:
            yield from self._finish(f"{path}.border.finish", stripes.border.finish, also=())
            if stripes.count == 2 and stripes.gap_mm < 2 * stripes.border.width_mm:
                yield Fault(f"{path}.gap_mm", "borders_overlap", {"least": 2 * stripes.border.width_mm})
        half = self.body.size.width_mm / 2
        if _reach_mm(stripes) > half:
            yield Fault(f"{path}.offset_mm", "stripes_beyond_car", {"reach_mm": _reach_mm(stripes), "half_width_mm": half})

    # -- what is covered, and with what

    def _coverage(self) -> Iterator[Fault]:
        for key, ids in (("add", self.selection.add), ("remove", self.selection.remove)):
            for index, id in enumerate(ids):
                yield from self._body_panel(f"coverage.{key}[{index}]", id)
        for index, id in enumerate(self.selection.remove):
            if id in self.selection.add:
                yield Fault(f"coverage.remove[{index}]", "added_and_removed", {"panel": id})

    def _finishes(self) -> Iterator[Fault]:
        yield from self._finish("finish.default", self.selection.default_finish)
        for id, finish in self.selection.panel_finishes.items():
            path = f"finish.panels.{id}"
            yield from self._body_panel(path, id)
            yield from self._finish(path, finish)

    def _lamps(self) -> Iterator[Fault]:
        for group, film in self.selection.lamps.items():
            if film is not LampFilm.NONE and not lamps_of_group(group, self.body):
                yield Fault(f"lamps.{group}", "no_such_lamps", {"lamp": group, "body": self.body.style})
        if self.selection.windshield not in (LampFilm.NONE, LampFilm.CLEAR):
            yield Fault("windshield", "windshield_film_not_sold", {"film": str(self.selection.windshield)})

    def _drop_off(self) -> Iterator[Fault]:
        earliest, latest = DROP_OFF_DAYS
        if not earliest <= (self.selection.drop_off or earliest) <= latest:
            yield Fault("drop_off", "day_out_of_range", {"earliest": earliest, "latest": latest})

    # -- single ids

    def _body_panel(self, path: str, id: str) -> Iterator[Fault]:
        """A fault for anything but a panel that this body has; lamps and glass are pointed to keys of their own."""
        facts = {"panel": id, "body": self.body.style}
        if self._panel(id, lambda panel: panel.surface is Surface.FABRIC):
            yield Fault(path, "fabric_takes_no_film", facts)
        elif self._panel(id, is_body_panel):
            return
        elif self._panel(id, lambda panel: panel.selectable and panel.surface is Surface.LENS):
            yield Fault(path, "lamp_is_no_panel", facts)
        elif self._panel(id, lambda panel: panel.selectable):
            yield Fault(path, "glass_is_no_panel", facts)
        else:
            yield Fault(path, "unknown_panel", facts)

    def _panel(self, id: str, holds: Callable[[Panel], bool]) -> bool:
        return id in self.body.panels and holds(self.body.panels[id])

    def _finish(self, path: str, finish: str, *, also: tuple[str, ...] = (MATCH,)) -> Iterator[Fault]:
        if finish not in (*also, *self.book.finishes):
            yield Fault(path, "unknown_finish", {"finish": finish})


def _reach_mm(stripes: Stripes) -> float:
    """How far from the middle line the stripes and their borders reach."""
    border = stripes.border.width_mm if stripes.border else 0.0
    return max(abs(centre) for centre in stripe_centres_mm(stripes)) + stripes.width_mm / 2 + border


# -- defaults


def _filled(selection: Selection, body: Body, book: PriceBook) -> Selection:
    region = selection.region or book.default_region
    return replace(
        selection,
        vehicle=_filled_vehicle(selection.vehicle, body),
        add=_once(selection.add),
        remove=_once(selection.remove),
        panel_finishes=_sorted(selection.panel_finishes),
        lamps=_lamp_films(selection, region, body, book),
        region=region,
        drop_off=selection.drop_off or book.hours.reference_drop_off,
    )


def _filled_vehicle(vehicle: Vehicle, body: Body) -> Vehicle:
    stripes = vehicle.stripes
    return replace(
        vehicle,
        size=body.size,
        features=body.features,
        fuel_door=body.fuel_door,
        surfaces=_sorted(vehicle.surfaces),
        stripes=replace(stripes, gap_mm=0.0) if stripes and stripes.count == 1 else stripes,
        resprayed=_sorted(vehicle.resprayed),
        remove_film=_once(vehicle.remove_film),
    )


def _lamp_films(selection: Selection, region: str, body: Body, book: PriceBook) -> Mapping[str, LampFilm]:
    """Every lamp group that the body has: as given, else as the package suggests in the region."""
    suggested = {} if selection.package is Package.NONE else book.packages[selection.package].lamps_in(region)
    groups = (group for group in LAMP_GROUPS if lamps_of_group(group, body))
    return MappingProxyType({group: selection.lamps.get(group, suggested.get(group, LampFilm.NONE)) for group in groups})


def _once(ids: Iterable[str]) -> tuple[str, ...]:
    return tuple(sorted(set(ids)))


def _sorted(entries: Mapping[str, Value]) -> Mapping[str, Value]:
    return MappingProxyType(dict(sorted(entries.items())))
