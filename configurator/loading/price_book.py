"""A price book from its YAML file: every figure with its value, unit and reason, refused with file and path where it is wrong."""

from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from importlib import resources
from pathlib import Path
from types import MappingProxyType
from typing import TypeVar

from configurator.domain.body.records import EdgeKind
from configurator.domain.money import CURRENCIES
from configurator.domain.price_book import (
    AfterCare,
    AreaTime,
    Cutting,
    Film,
    FilmTime,
    PackageRule,
    PartTime,
    PriceBook,
    Rates,
    Roll,
    ShopIdentity,
    Spread,
    Tax,
    TaxShown,
    TimeModel,
    Triple,
)
from configurator.domain.selection import LAMP_GROUPS, LampFilm, Package, PaintCondition, Treatment
from configurator.domain.work import Role
from configurator.loading.figures import FigureReader
from configurator.loading.opening_hours import read_hours
from configurator.loading.price_book_checks import check_consistency
from configurator.loading.reading import Node
from configurator.loading.terms import read_terms
from configurator.loading.yaml_file import read_yaml

DEMO = Path(str(resources.files("configurator"))) / "data" / "price_books" / "demo.yaml"
SECTIONS = (
    *("version", "currency", "shop", "regions", "time", "parts", "films", "cutting", "rates", "tax", "packages"),
    *("replacement_parts", "filmable_parts", "hours", "terms"),
)
AREA_TIMES = (
    *("lamp", "windshield", "check_in", "wash", "correction_one_step", "correction_two_step", "strip_coating", "remove_film"),
    *("inspect", "hand_over"),
)
FILM_KINDS = ("body", "lamp", "windshield")
USUAL = "share of usual"

Key = TypeVar("Key")
Value = TypeVar("Value")


def load_price_book(path: Path) -> PriceBook:
    """Read and check a price book; `InvalidData` names the file and every path at fault."""
    return price_book_from(read_yaml(path), file=path.name)


@cache
def demo_price_book() -> PriceBook:
    """The invented demo shop's own book."""
    return load_price_book(DEMO)


def price_book_from(document: object, *, file: str) -> PriceBook:
    """A price book from a document that was read already (one published earlier and kept in the database)."""
    root = Node(document, "")
    book = _book(root)
    root.raise_faults(file)
    check_consistency(book, root)
    root.raise_faults(file)
    return book


def _book(root: Node) -> PriceBook:
    top = root.fields(SECTIONS, ("after_care",))
    reader = FigureReader(top["currency"].one_of(tuple(CURRENCIES)))
    regions = top["regions"].fields(("default", "offered", "forbidden_films_sold_in"))
    offered = _texts(regions["offered"]) or ("none",)
    return PriceBook(
        version=top["version"].text(),
        shop=_shop(top["shop"]),
        currency=reader.currency,
        default_region=regions["default"].one_of(offered),
        regions=offered,
        forbidden_films_sold_in=tuple(node.one_of(offered) for node in regions["forbidden_films_sold_in"].items()),
        time=_time_model(top["time"], reader),
        parts=_parts(top["parts"], reader),
        films=_frozen({key: _film(key, node, reader) for key, node in top["films"].entries()}),
        cutting=_cutting(top["cutting"], reader),
        rates=_rates(top["rates"], reader),
        tax=_tax(top["tax"], reader),
        packages=_packages(top["packages"], offered, reader),
        hours=read_hours(top["hours"], reader),
        terms=read_terms(top["terms"], reader),
        replacement_parts=_frozen({key: reader.money(node) for key, node in top["replacement_parts"].entries()}),
        filmable_parts=_frozen({key: reader.money(node) for key, node in top["filmable_parts"].entries()}),
        after_care=top.optional("after_care", lambda node: _after_care(node, reader), AfterCare()),
        figures=tuple(reader.figures),
    )


def _frozen(entries: dict[Key, Value]) -> Mapping[Key, Value]:
    return MappingProxyType(entries)


def _texts(node: Node) -> tuple[str, ...]:
    return tuple(item.text() for item in node.items())


def _shop(node: Node) -> ShopIdentity:
    fields = node.fields(("name", "town", "email", "phone", "country"))
    return ShopIdentity(
        name=fields["name"].text(),
        town=fields["town"].text(),
        email=fields["email"].text(),
        phone=fields["phone"].text(),
        country=fields["country"].text(),
    )


# -- time


def _time_model(node: Node, reader: FigureReader) -> TimeModel:
    factors = ("settle", "correlation", "unseen_car", "k50", "k90")
    fields = node.fields(("film", "wash_factor", *AREA_TIMES, *factors))
    wash_factor = fields["wash_factor"].fields(tuple(PaintCondition))
    return TimeModel(
        film=_film_time(fields["film"], reader),
        **{work: _area_time(fields[work], reader, per="min/panel" if work == "remove_film" else "min") for work in AREA_TIMES},
        wash_factor=_frozen({state: reader.number(wash_factor[state], USUAL) for state in PaintCondition}),
        settle_minutes=reader.number(fields["settle"], "min"),
        correlation=reader.share(fields["correlation"], "1"),
        unseen_car_cv=reader.share(fields["unseen_car"], "1"),
        k50=reader.number(fields["k50"], "1", least=-3.0, most=3.0),
        k90=reader.number(fields["k90"], "1", least=-3.0, most=3.0),
    )


def _film_time(node: Node, reader: FigureReader) -> FilmTime:
    units = {"base": "min/panel", "prep_panel": "min/panel", "prep_m2": "min/m2", "lay_m2": "min/m2", "difficulty_weight": "1"}
    units |= {"seam_m": "min/m", "recess": "min/recess"}
    fields = node.fields((*units, "edge_m", "spread"))
    return FilmTime(
        **{name: reader.number(fields[name], unit) for name, unit in units.items()},
        edge_m=_by_treatment(fields["edge_m"], reader, "min/m", least=0.0),
        spread=_spread(fields["spread"], reader),
    )


def _by_treatment(node: Node, reader: FigureReader, unit: str, *, least: float) -> Mapping[Treatment, Mapping[EdgeKind, float]]:
    """A table of edge kinds (rows) by treatments (columns), turned round for look-up."""
    fields = node.fields(tuple(EdgeKind))
    rows = {kind: reader.row(fields[kind], unit, tuple(Treatment)) for kind in EdgeKind}
    return _frozen({treatment: _frozen({kind: rows[kind][treatment].number(least=least) for kind in EdgeKind}) for treatment in Treatment})


def _spread(node: Node, reader: FigureReader) -> Spread:
    row = reader.row(node, USUAL, ("least", "most"))
    return Spread(least=row["least"].number(most=1.0), most=row["most"].number(least=1.0))


def _area_time(node: Node, reader: FigureReader, *, per: str) -> AreaTime:
    fields = node.fields(("base", "per_m2", "per_m", "spread"))
    return AreaTime(
        base=reader.number(fields["base"], per),
        per_m2=reader.number(fields["per_m2"], "min/m2"),
        per_m=reader.number(fields["per_m"], "min/m"),
        spread=_spread(fields["spread"], reader),
    )


def _parts(node: Node, reader: FigureReader) -> Mapping[str, PartTime]:
    """The catalogue of removable parts: units at the table's head, then one row per part."""
    units = {"off": "min", "on": "min", "break_chance": "chance", "break_cost": reader.currency, "consumables": reader.currency}
    fields = node.fields(("units", "catalogue"))
    heads = fields["units"].fields(tuple(units))
    for column, unit in units.items():
        heads[column].one_of((unit,))
    return _frozen({key: _part(key, row, units, reader) for key, row in fields["catalogue"].entries()})


def _part(key: str, node: Node, units: Mapping[str, str], reader: FigureReader) -> PartTime:
    row = reader.table_row(node, units, also=("role", "frees"), optional=("after",))
    return PartTime(
        part=key,
        off=_triple(row["off"]),
        on=_triple(row["on"]),
        role=row["role"].one_of((Role.INSTALLER, Role.ASSEMBLER)),
        break_chance=row["break_chance"].number(most=1.0),
        break_cost=row["break_cost"].money(),
        consumables=row["consumables"].money(),
        frees=row["frees"].one_of(tuple(EdgeKind)),
        after=row.optional("after", _texts, ()),
    )


def _triple(node: Node) -> Triple:
    minutes = [item.number() for item in node.items()]
    if len(minutes) != 3:
        node.fault("not_three_times")
        return Triple(0.0, 0.0, 0.0)
    if not minutes[0] <= minutes[1] <= minutes[2]:
        node.fault("times_out_of_order")
    return Triple(*minutes)


# -- film


def _film(key: str, node: Node, reader: FigureReader) -> Film:
    fields = node.fields(("kind", "directional", "markup", "warranty", "rolls"), ("finish", "lamp_grade", "transmission", "colour"))
    kind = fields["kind"].one_of(FILM_KINDS)
    needed = ("finish",) if kind == "body" else ("lamp_grade", "transmission")
    for name in needed:
        if name not in fields:
            node.child(name, None).fault("missing")
    transmission, tolerance = _transmission(fields["transmission"], reader) if "transmission" in fields else (None, None)
    return Film(
        id=key,
        finish=fields.optional("finish", Node.text, ""),
        kind=kind,
        rolls=tuple(_roll(item, reader) for item in fields["rolls"].items()),
        markup=Decimal(str(reader.number(fields["markup"], "times cost", least=1.0))),
        directional=fields["directional"].flag(),
        transmission=transmission,
        transmission_tolerance=tolerance,
        warranty_years=reader.whole(fields["warranty"], "year", most=30),
        lamp_grade=fields.optional("lamp_grade", lambda grade: grade.one_of(tuple(LampFilm)[1:]), None),
        colour=fields.optional("colour", _colour, None),
    )


def _transmission(node: Node, reader: FigureReader) -> tuple[float, float]:
    row = reader.row(node, "share of light", ("value", "tolerance"))
    return row["value"].number(most=1.0), row["tolerance"].number(most=1.0)


def _colour(node: Node) -> str:
    colour = node.text()
    if len(colour) != 7 or colour[0] != "#" or any(digit not in "0123456789abcdef" for digit in colour[1:]):
        node.fault("not_a_colour")
    return colour


def _roll(node: Node, reader: FigureReader) -> Roll:
    row = reader.row(node, f"{reader.currency}/m", ("cost",), also=("width_mm",))
    return Roll(width_mm=row["width_mm"].number(least=100.0, most=4000.0), cost_per_m=row["cost"].money())


def _cutting(node: Node, reader: FigureReader) -> Cutting:
    fields = node.fields(("way", "margin", "separation", "allowance", "lamp_yield", "remake_yield", "film_length_cv"))
    return Cutting(
        way=fields["way"].one_of(("nested", "bulk")),
        margin_mm=reader.number(fields["margin"], "mm", most=200.0),
        separation_mm=reader.number(fields["separation"], "mm", most=200.0),
        allowance_mm=_by_treatment(fields["allowance"], reader, "mm", least=-10.0),
        lamp_yield=reader.number(fields["lamp_yield"], "share of film", least=0.05, most=1.0),
        remake_yield=reader.number(fields["remake_yield"], "share of film", least=0.05, most=1.0),
        film_length_cv=reader.share(fields["film_length_cv"], "1"),
    )


# -- money


def _rates(node: Node, reader: FigureReader) -> Rates:
    money = {"overhead_per_hour": "/h", "overhead_per_job": "", "consumables_per_job": "", "consumables_per_m2": "/m2"}
    money |= {"minimum": "", "step": ""}
    fields = node.fields(("per_hour", "remake_base", "remake_per_difficulty", *money), ("cost_per_hour",))
    per_hour = fields["per_hour"].fields(tuple(Role))
    return Rates(
        per_hour=_frozen({role: reader.money(per_hour[role], "/h") for role in Role}),
        cost_per_hour=fields.optional("cost_per_hour", lambda given: _hourly_costs(given, reader), _frozen({})),
        **{name: reader.money(fields[name], per) for name, per in money.items()},
        remake_base=reader.share(fields["remake_base"], "chance"),
        remake_per_difficulty=reader.share(fields["remake_per_difficulty"], "chance"),
    )


def _hourly_costs(node: Node, reader: FigureReader) -> Mapping[str, Decimal]:
    fields = node.fields((), tuple(Role))
    return _frozen({role: reader.money(fields[role], "/h") for role in Role if role in fields})


def _tax(node: Node, reader: FigureReader) -> Tax:
    fields = node.fields(("shown", "shown_to_business", "rate"))
    return Tax(
        shown=fields["shown"].one_of(tuple(TaxShown)),
        shown_to_business=fields["shown_to_business"].one_of(tuple(TaxShown)),
        rate=reader.single(fields["rate"], "share of net", _optional_rate),
    )


def _optional_rate(node: Node) -> Decimal | None:
    if node.value is None:
        return None
    node.number(most=1.0)
    return node.money()


# -- packages


def _packages(node: Node, regions: tuple[str, ...], reader: FigureReader) -> Mapping[str, PackageRule]:
    fields = node.fields(tuple(Package)[1:])
    return _frozen({package: _package(fields[package], regions, reader) for package in tuple(Package)[1:]})


def _package(node: Node, regions: tuple[str, ...], reader: FigureReader) -> PackageRule:
    fields = node.fields(("discount", "lamp_defaults"), ("panels", "strips", "below_arch", "whole_body"))
    return PackageRule(
        panels=fields.optional("panels", _texts, ()),
        strips=fields.optional("strips", lambda strips: _depths(strips, reader), _frozen({})),
        below_arch=fields.optional("below_arch", lambda bands: _depths(bands, reader), _frozen({})),
        whole_body=fields.optional("whole_body", Node.flag, False),
        discount=reader.single(fields["discount"], "share of price", _discount),
        lamp_defaults=_lamp_defaults(fields["lamp_defaults"], regions),
    )


def _depths(node: Node, reader: FigureReader) -> Mapping[str, float]:
    return _frozen({panel: reader.number(depth, "mm", least=1.0, most=5000.0) for panel, depth in node.entries()})


def _discount(node: Node) -> Decimal:
    node.number(most=0.9)
    return node.money()


def _lamp_defaults(node: Node, regions: tuple[str, ...]) -> Mapping[str, Mapping[str, LampFilm]]:
    fields = node.fields(("default",), regions)
    return _frozen({region: _lamp_films(fields[region]) for region in ("default", *regions) if region in fields})


def _lamp_films(node: Node) -> Mapping[str, LampFilm]:
    groups = node.fields((), LAMP_GROUPS)
    return _frozen({group: groups[group].one_of(tuple(LampFilm)) for group in LAMP_GROUPS if group in groups})


def _after_care(node: Node, reader: FigureReader) -> AfterCare:
    fields = node.fields(("no_wash", "hand_wash", "first_check", "fitting"), ("second_check",))
    checks = [reader.whole(fields["first_check"], "day", least=1, most=365)]
    second = fields.optional("second_check", lambda given: reader.whole(given, "day", least=1, most=365), None)
    return AfterCare(
        no_wash_days=reader.whole(fields["no_wash"], "day", most=30),
        hand_wash_days=reader.whole(fields["hand_wash"], "day", most=90),
        check_days=tuple(sorted({*checks, *([second] if second is not None else [])})),
        fitting_years=reader.whole(fields["fitting"], "year", most=30),
    )
