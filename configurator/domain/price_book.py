"""A shop's price book: frozen records of every figure that a price or a time rests on.

Loaded and validated by `configurator.loading.price_book` from one YAML file in which each figure carries its value, unit
and reason. Times are usual minutes, lengths mm unless a name says otherwise, money `Decimal` in `currency`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, time
from decimal import Decimal

from configurator.domain.body.records import EdgeKind
from configurator.domain.message import Message
from configurator.domain.selection import LampFilm, PaintCondition, Treatment


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
    """Minutes for one panel's film: base + per m2 x difficulty + per metre of edge + seam + recess (time-model 2.1)."""

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


@dataclass(frozen=True)
class Roll:
    width_mm: float
    cost_per_m: Decimal


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


@dataclass(frozen=True)
class Cutting:
    """How pieces are cut. `way`: nested (plotter) or bulk (rectangles on the car)."""

    way: str
    margin_mm: float
    separation_mm: float
    allowance_mm: Mapping[Treatment, Mapping[EdgeKind, float]]
    lamp_yield: float
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


@dataclass(frozen=True)
class Tax:
    """`shown`: excluded or included; `rate` as a share (0.20), None where tax isn't worked out."""

    shown: str
    rate: Decimal | None


@dataclass(frozen=True)
class PackageRule:
    """A package as a rule over a body's panels: whole panels, strips (panel id -> depth mm), lamps per region."""

    panels: tuple[str, ...]
    strips: Mapping[str, float]
    discount: Decimal
    lamp_defaults: Mapping[str, Mapping[str, LampFilm]]
    """region -> lamp group -> film; region `default` where no own entry."""


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
class Terms:
    quote_valid_days: int
    deposit_share: Decimal
    cancellation: str
    max_photos: int
    respray_wait_days: int


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
    notes: tuple[Message, ...] = ()

    def film_for(self, finish: str) -> Film:
        """The body film of a finish; KeyError when the book has none (callers check with `finishes` first)."""
        return next(film for film in self.films.values() if film.kind == "body" and film.finish == finish)

    @property
    def finishes(self) -> tuple[str, ...]:
        return tuple(film.finish for film in self.films.values() if film.kind == "body")
