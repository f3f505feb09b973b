"""A shop's price book: frozen records of every figure that a price or a time rests on.

Loaded and validated by `configurator.loading.price_book` from one YAML file in which each figure carries its value, unit
and reason. Times are usual minutes, lengths mm unless a name says otherwise, money `Decimal` in `currency`.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, time
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

from configurator.domain.body.records import EdgeKind
from configurator.domain.message import Message
from configurator.domain.selection import LampFilm, PaintCondition, Treatment
from configurator.domain.terms import Terms


@dataclass(frozen=True)
class Figure:
    """One figure as the book's file states it, for those who read or publish a book: where it stands, its unit and reason."""

    path: str
    value: str
    unit: str
    why: str


@dataclass(frozen=True)
class Spread:
    """Least and most as factors of the usual time (PERT's a and b over m)."""

    least: float
    most: float


@dataclass(frozen=True)
class Triple:
    """Least, usual and most minutes."""

    least: float
    usual: float
    most: float


@dataclass(frozen=True)
class FilmTime:
    """Minutes for one panel's film: base + per m2 x difficulty + per metre of edge + seam + recess."""

    base: float
    prep_panel: float
    prep_m2: float
    lay_m2: float
    difficulty_weight: float
    seam_m: float
    recess: float
    edge_m: Mapping[Treatment, Mapping[EdgeKind, float]]
    spread: Spread


@dataclass(frozen=True)
class AreaTime:
    """base + per_m2 x area + per_m x perimeter, in minutes."""

    base: float
    per_m2: float
    per_m: float
    spread: Spread


@dataclass(frozen=True)
class TimeModel:
    film: FilmTime
    lamp: AreaTime
    windshield: AreaTime
    check_in: AreaTime
    wash: AreaTime
    wash_factor: Mapping[PaintCondition, float]
    correction_one_step: AreaTime
    correction_two_step: AreaTime
    strip_coating: AreaTime
    remove_film: AreaTime
    inspect: AreaTime
    hand_over: AreaTime
    settle_minutes: float
    correlation: float
    unseen_car_cv: float
    k50: float
    k90: float
    """Constant factors: planned minutes = mean + k x sd, so that adding work never brings the car back earlier."""


@dataclass(frozen=True)
class PartTime:
    """One removable part: minutes off and on, who does it, what breaks and what it costs, which edge kind it frees."""

    part: str
    off: Triple
    on: Triple
    role: str
    break_chance: float
    break_cost: Decimal
    consumables: Decimal
    frees: EdgeKind
    after: tuple[str, ...] = ()
    """Parts that must be off before this one, when both come off (the front bumper before a headlamp)."""


@dataclass(frozen=True)
class Roll:
    """A roll the shop stocks: what a metre of it costs at its width."""

    width_mm: float
    cost_per_m: Decimal

    @property
    def cost_per_m2(self) -> Decimal:
        return self.cost_per_m * 1000 / Decimal(str(self.width_mm))


@dataclass(frozen=True)
class Film:
    """A film the shop stocks. `finish` is what a selection names (gloss, matte, or a colour finish such as gloss_black)."""

    id: str
    finish: str
    kind: str
    """body, lamp or windshield."""
    rolls: tuple[Roll, ...]
    markup: Decimal
    directional: bool
    transmission: float | None
    transmission_tolerance: float | None
    warranty_years: int
    lamp_grade: LampFilm | None
    colour: str | None
    """CSS hex of a colour film, for the drawing."""

    def roll(self, width_mm: float) -> Roll:
        """The roll of that width; KeyError when the shop stocks none."""
        for roll in self.rolls:
            if roll.width_mm == width_mm:
                return roll
        raise KeyError(f"{self.id}: no roll of {width_mm} mm")

    @property
    def widest(self) -> Roll:
        """The roll a piece is cut from that belongs to no plan."""
        return max(self.rolls, key=lambda roll: roll.width_mm)


@dataclass(frozen=True)
class Cutting:
    """How pieces are cut. `way`: nested (plotter) or bulk (rectangles on the car).

    `remake_yield` is the share of film used when a piece is cut by itself, outside any plan; `lamp_yield` that of a few lamps' pieces,
    their handling margins included.
    """

    way: str
    margin_mm: float
    separation_mm: float
    allowance_mm: Mapping[Treatment, Mapping[EdgeKind, float]]
    lamp_yield: float
    remake_yield: float
    film_length_cv: float


@dataclass(frozen=True)
class Rates:
    """Money per hour and role, overheads, consumables, minimum, steps."""

    per_hour: Mapping[str, Decimal]
    overhead_per_hour: Decimal
    overhead_per_job: Decimal
    consumables_per_job: Decimal
    consumables_per_m2: Decimal
    remake_base: float
    remake_per_difficulty: float
    minimum: Decimal
    step: Decimal
    cost_per_hour: Mapping[str, Decimal] = field(default_factory=lambda: MappingProxyType({}))
    """What an hour of a role costs the shop itself, where it says so: for the margin that the desk sees, never for a price."""


class TaxShown(StrEnum):
    EXCLUDED = "excluded"
    INCLUDED = "included"


class Customer(StrEnum):
    CONSUMER = "consumer"
    BUSINESS = "business"


@dataclass(frozen=True)
class Tax:
    """How prices are shown to a consumer and to a business; `rate` as a share (0.20), None where tax isn't worked out."""

    shown: TaxShown
    shown_to_business: TaxShown
    rate: Decimal | None

    def shown_to(self, customer: Customer) -> TaxShown:
        return self.shown if customer is Customer.CONSUMER else self.shown_to_business


@dataclass(frozen=True)
class PackageRule:
    """A package as a rule over a body's panels; panels that a body hasn't are passed over.

    `panels` are covered whole, `strips` (panel id -> depth mm) from their leading edge back, `below_arch` (panel id -> mm)
    up to that far above the top of the wheel arch, and `whole_body` takes every panel that film holds on (extra zones apart).
    `discount` is a share of the price tied to the package, whatever is added or removed.
    """

    panels: tuple[str, ...]
    strips: Mapping[str, float]
    below_arch: Mapping[str, float]
    whole_body: bool
    discount: Decimal
    lamp_defaults: Mapping[str, Mapping[str, LampFilm]]
    """region -> lamp group -> film; region `default` where no own entry."""

    def lamps_in(self, region: str) -> Mapping[str, LampFilm]:
        """The lamp films that the package suggests in a region, by lamp group."""
        return self.lamp_defaults.get(region, self.lamp_defaults["default"])


@dataclass(frozen=True)
class OpeningSpan:
    weekday: int
    """0 = Monday."""
    start: time
    end: time


@dataclass(frozen=True)
class Person:
    name: str
    roles: tuple[str, ...]
    weekdays: tuple[int, ...]
    days_off: tuple[date, ...]


@dataclass(frozen=True)
class Hours:
    """The shop's calendar. `holidays` names a country and subdivision for public holidays; `closed` are the shop's own."""

    time_zone: str
    open: tuple[OpeningSpan, ...]
    holiday_country: str | None
    holiday_subdivision: str | None
    closed: tuple[date, ...]
    bays: int
    installers_per_car: int
    people: tuple[Person, ...]
    reference_drop_off: date


@dataclass(frozen=True)
class AfterCare:
    """What the shop asks of an owner after hand-over, in days, and how long it answers for its own work, in years.

    `check_days`: when the car comes back for a look at its edges. The defaults are common practice, no source.
    """

    no_wash_days: int = 2
    hand_wash_days: int = 7
    check_days: tuple[int, ...] = (7, 30)
    fitting_years: int = 2


@dataclass(frozen=True)
class ShopIdentity:
    name: str
    town: str
    email: str
    phone: str
    country: str


@dataclass(frozen=True)
class PriceBook:
    version: str
    shop: ShopIdentity
    currency: str
    default_region: str
    regions: tuple[str, ...]
    forbidden_films_sold_in: tuple[str, ...]
    """Regions in which the owner switched on selling what a published rule forbids; empty by default."""
    time: TimeModel
    parts: Mapping[str, PartTime]
    films: Mapping[str, Film]
    cutting: Cutting
    rates: Rates
    tax: Tax
    packages: Mapping[str, PackageRule]
    hours: Hours
    terms: Terms
    replacement_parts: Mapping[str, Decimal]
    """panel id -> what a new textured part costs, where set."""
    filmable_parts: Mapping[str, Decimal]
    """panel id -> what a part in a finish that takes film costs, where the shop lists one."""
    figures: tuple[Figure, ...] = ()
    notes: tuple[Message, ...] = ()
    after_care: AfterCare = AfterCare()

    def film_for(self, finish: str) -> Film:
        """The body film of a finish; KeyError when the book has none (callers check with `finishes` first)."""
        return next(film for film in self.films.values() if film.kind == "body" and film.finish == finish)

    @property
    def finishes(self) -> tuple[str, ...]:
        return tuple(film.finish for film in self.films.values() if film.kind == "body")
