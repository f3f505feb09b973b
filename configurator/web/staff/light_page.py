"""Lamps and glass of one request: what was measured in the shop, and what the rules make of it."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.datastructures import MultiDict
from werkzeug.wrappers import Response

from configurator.domain.lamps import WINDSHIELD
from configurator.domain.light import FunctionLight, LampLight
from configurator.domain.measuring import KeptMeasurement, LampReading, LayerReading, Measurement
from configurator.domain.staff import Right
from configurator.errors import Fault, InvalidInput
from configurator.services import reviewing
from configurator.services.measuring_light import LightReading, light_of, record_measurement, unacknowledged
from configurator.web.i18n import words
from configurator.web.request_reading import sentence, shop_time
from configurator.web.staff.guard import needs, person
from configurator.web.staff.revisions import sent_revision
from configurator.web.typed_numbers import typed_number, typed_share
from configurator.web.wiring import wired

Typed = MultiDict[str, str]


@dataclass(frozen=True)
class FunctionRow:
    """One function of a lamp: what is asked for, what must be there bare, what was typed, what is left, what follows.

    `field` is empty where a candela value would decide nothing (covers, reflectors).
    """

    field: str
    name: str
    minimum: str
    as_built: str
    typed: str
    left: str
    status: str
    is_bad: bool
    source: str


@dataclass(frozen=True)
class LampCard:
    """A lamp group, or the windshield, behind its film."""

    id: str
    name: str
    film: str
    share: str
    status: str
    was: str
    is_bad: bool
    needs_tick: bool
    functions: tuple[FunctionRow, ...]
    layer: str
    glass: str | None
    notes: tuple[str, ...]


@needs(Right.READ_REQUESTS)
def light_page(reference: str) -> str:
    """The page."""
    return _page(reference)


@needs(Right.WORK_REQUESTS)
def measure(reference: str) -> Response:
    """Keeps what was typed."""
    try:
        record_measurement(reference, sent_revision(), _measurement(request.form), person(), wired().desk())
    except InvalidInput as error:
        faults = {fault.path: words().fault(fault) for fault in error.faults}
        return make_response(_page(reference, faults, request.form), 422)
    return redirect(url_for("staff.light", reference=reference), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/requests/<reference>/light", "light", light_page)
    blueprint.add_url_rule("/requests/<reference>/light", "measure_light", measure, methods=["POST"])


def _page(reference: str, faults: dict[str, str] | None = None, typed: Typed | None = None) -> str:
    desk = wired().desk()
    with wired().store.reading() as work:
        kept = reviewing.find(reference, work)
        reading = light_of(kept, desk, work)
    fields = typed if typed is not None else _fields(reading.kept)
    open_ticks = unacknowledged(kept, reading.light)
    return render_template(
        "staff/light.html",
        record=kept,
        cards=tuple(_cards(reading, fields, open_ticks)),
        kept=reading.kept,
        kept_at=words().datetime(shop_time(reading.kept.at), "medium") if reading.kept else "",
        faults=faults or {},
    )


# -- what is shown


def _cards(reading: LightReading, fields: Typed, open_ticks: Iterable[str]) -> Iterable[LampCard]:
    say = words()
    for before, row in zip(reading.unmeasured, reading.light, strict=True):
        if row.film == "none":
            continue
        yield LampCard(
            id=row.lamp,
            name=say.name("lamp", row.lamp),
            film=say.name("lamp_film", row.film),
            share=say.percent(row.transmission if row.total is None else row.total),
            status=say.name("light_status", row.status.value),
            was=say.name("light_status", before.status.value) if before.status is not row.status else "",
            is_bad=row.status.needs_acknowledging,
            needs_tick=row.lamp in open_ticks,
            functions=tuple(_function(row, each, fields) for each in row.functions),
            layer=fields.get(f"layer.{row.lamp}", ""),
            glass=fields.get("glass", "") if row.lamp == WINDSHIELD else None,
            notes=tuple(sentence(message, say) for message in row.assumptions),
        )


def _function(row: LampLight, each: FunctionLight, fields: Typed) -> FunctionRow:
    say = words()
    field = f"cd.{row.lamp}.{each.function}" if each.minimum_cd is not None else ""

    def candela(value: float | None) -> str:
        return "" if value is None else say.gettext("%(number)s cd") % {"number": say.number(value, 2 if value < 10 else 0)}

    return FunctionRow(
        field=field,
        name=say.name("function", each.function),
        minimum=candela(each.minimum_cd) or _glass_minimum(each),
        as_built=candela(each.as_built_minimum_cd),
        typed=fields.get(field, "") if field else "",
        left=candela(each.left_cd),
        status=say.name("light_status", each.status.value),
        is_bad=each.status.needs_acknowledging,
        source=each.source if each.known is None else f"{each.source}, {say.name('known', each.known)}",
    )


def _glass_minimum(each: FunctionLight) -> str:
    return words().percent(each.least_transmission) if each.function == "glass" and each.least_transmission is not None else ""


def _fields(kept: KeptMeasurement | None) -> Typed:
    """What is kept, as it would be typed."""
    fields: Typed = MultiDict()
    if kept is None:
        return fields
    number = words().number
    for reading in kept.values.lamps:
        fields[f"cd.{reading.lamp}.{reading.function}"] = number(reading.candela, 2)
    for layer in kept.values.layers:
        fields[f"layer.{layer.lamp}"] = number(layer.share * 100, 1)
    if kept.values.glass is not None:
        fields["glass"] = number(kept.values.glass * 100, 1)
    return fields


# -- what was typed


def _measurement(form: Typed) -> Measurement:
    """The form's fields as a measurement; every field that isn't a number is named at once. Raises InvalidInput."""
    faults: list[Fault] = []
    locale = words().locale

    def read(parse: Callable[[str, str, str], float | None], field: str) -> float | None:
        try:
            return parse(form.get(field, ""), field, locale)
        except InvalidInput as error:
            faults.extend(error.faults)
            return None

    lamps, layers = [], []
    for field in form:
        kind, _, rest = field.partition(".")
        lamp, _, function = rest.partition(".")
        if kind == "cd" and (candela := read(typed_number, field)) is not None:
            lamps.append(LampReading(lamp, function, candela))
        if kind == "layer" and (share := read(typed_share, field)) is not None:
            layers.append(LayerReading(lamp, share))
    glass = read(typed_share, "glass")
    if faults:
        raise InvalidInput(faults)
    return Measurement(tuple(lamps), tuple(layers), glass)
