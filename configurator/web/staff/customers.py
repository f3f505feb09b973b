"""Customers and their cars: found, looked at, corrected, and two of the same made one."""

from collections.abc import Iterable, Mapping
from typing import Any

from flask import Blueprint, make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from configurator.domain.customers import PAGE_ROWS, Change, Customer, Vehicle
from configurator.domain.staff import Right
from configurator.errors import InvalidInput
from configurator.services import customers as service
from configurator.services.customers import NoSuchCustomer, TypedCustomer, TypedVehicle
from configurator.services.ports import ChangedMeanwhile
from configurator.web.i18n import words
from configurator.web.staff.customer_reading import ReadChange, read_change
from configurator.web.staff.guard import needs, person
from configurator.web.staff.revisions import sent_revision
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired
from configurator.wording.locales import available_locales
from configurator.wording.phones import phone

LONGEST_SEARCH = 100
ID = "<int(max=2147483647):{}>"


@needs(Right.READ_REQUESTS)
def list_customers() -> str:
    """A search over all of them, the newest first."""
    text = request.args.get("q", "")[:LONGEST_SEARCH].strip()
    before_id = whole_number(request.args.get("before", ""))
    with wired().store.reading() as work:
        page = work.customers.find(text, before_id=before_id, rows=PAGE_ROWS)
    return render_template("staff/customers.html", page=page, text=text, before=before_id)


@needs(Right.READ_REQUESTS)
def show_customer(customer_id: int) -> Response:
    """One customer's page; an id that was merged leads to the one that stayed."""
    with wired().store.reading() as work:
        customer = service.find(customer_id, work)
    if customer.id != customer_id:
        return redirect(url_for("staff.customer", customer_id=customer.id), code=301)
    return make_response(_customer_page(customer_id))


@needs(Right.WORK_REQUESTS)
def change_customer(customer_id: int) -> Response:
    """Corrects what is known of them."""
    typed = TypedCustomer(*(request.form.get(name, "") for name in ("name", "email", "phone", "company", "tax_number", "language")))
    try:
        service.change_customer(customer_id, sent_revision(), typed, person(), wired().desk(), languages=frozenset(available_locales()))
    except InvalidInput as error:
        return make_response(_customer_page(customer_id, _faults(error), request.form), 422)
    except ChangedMeanwhile:
        return make_response(_customer_page(customer_id, {}, request.form, changed=True), 409)
    return redirect(url_for("staff.customer", customer_id=customer_id), code=303)


@needs(Right.READ_REQUESTS)
def compare(customer_id: int, other_id: int) -> str:
    """Two who may be the same, side by side, before they are made one."""
    return _compare_page(customer_id, other_id)


@needs(Right.WORK_REQUESTS)
def merge(customer_id: int, other_id: int) -> Response:
    """Makes one of them: the first stays."""
    revisions = sent_revision("kept"), sent_revision("gone")
    try:
        kept = service.merge(customer_id, other_id, revisions, person(), wired().desk())
    except ChangedMeanwhile:
        return make_response(_compare_page(customer_id, other_id, changed=True), 409)
    return redirect(url_for("staff.customer", customer_id=kept.id), code=303)


@needs(Right.READ_REQUESTS)
def show_vehicle(vehicle_id: int) -> str:
    """One car's page."""
    return _vehicle_page(vehicle_id)


@needs(Right.WORK_REQUESTS)
def change_vehicle(vehicle_id: int) -> Response:
    """Corrects what is known of a car."""
    typed = TypedVehicle(*(request.form.get(name, "") for name in ("description", "colour", "plate", "odometer", "body")))
    try:
        service.change_vehicle(vehicle_id, sent_revision(), typed, person(), wired().desk(), bodies=frozenset(wired().shop.styles))
    except InvalidInput as error:
        return make_response(_vehicle_page(vehicle_id, _faults(error), request.form), 422)
    except ChangedMeanwhile:
        return make_response(_vehicle_page(vehicle_id, {}, request.form, changed=True), 409)
    return redirect(url_for("staff.vehicle", vehicle_id=vehicle_id), code=303)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    one, other, car = ID.format("customer_id"), ID.format("other_id"), ID.format("vehicle_id")
    blueprint.add_url_rule("/customers", "customers", list_customers)
    blueprint.add_url_rule(f"/customers/{one}", "customer", show_customer)
    blueprint.add_url_rule(f"/customers/{one}", "change_customer", change_customer, methods=["POST"])
    blueprint.add_url_rule(f"/customers/{one}/merge/{other}", "compare_customers", compare)
    blueprint.add_url_rule(f"/customers/{one}/merge/{other}", "merge_customers", merge, methods=["POST"])
    blueprint.add_url_rule(f"/vehicles/{car}", "vehicle", show_vehicle)
    blueprint.add_url_rule(f"/vehicles/{car}", "change_vehicle", change_vehicle, methods=["POST"])


def _customer_page(
    customer_id: int, faults: Mapping[str, str] | None = None, typed: Mapping[str, str] | None = None, *, changed: bool = False
) -> str:
    with wired().store.reading() as work:
        customer = service.find(customer_id, work)
        context: dict[str, Any] = {
            "customer": customer,
            "vehicles": work.customers.vehicles_of(customer.id),
            "requests": work.customers.requests_of(customer.id),
            "alike": work.customers.alike(customer),
            "history": _history(work.customers.history(customer.id)),
        }
    return render_template("staff/customer.html", **context, faults=faults or {}, values=typed or _values(customer), changed=changed)


def _compare_page(customer_id: int, other_id: int, *, changed: bool = False) -> str:
    with wired().store.reading() as work:
        pair = [service.find(one, work) for one in (customer_id, other_id)]
        if pair[0].id == pair[1].id:
            raise NoSuchCustomer
        sides = tuple((one, work.customers.vehicles_of(one.id), work.customers.requests_of(one.id)) for one in pair)
    return render_template("staff/merge.html", sides=sides, changed=changed)


def _vehicle_page(
    vehicle_id: int, faults: Mapping[str, str] | None = None, typed: Mapping[str, str] | None = None, *, changed: bool = False
) -> str:
    with wired().store.reading() as work:
        vehicle = service.find_vehicle(vehicle_id, work)
        context: dict[str, Any] = {
            "vehicle": vehicle,
            "customer": service.find(vehicle.customer_id, work),
            "requests": work.customers.requests_of(vehicle.customer_id, vehicle_id=vehicle.id),
            "history": _history(work.customers.history(vehicle.customer_id, vehicle_id=vehicle.id)),
        }
    shown = typed or _values(vehicle)
    return render_template("staff/vehicle.html", **context, faults=faults or {}, values=shown, changed=changed, bodies=wired().shop.styles)


def _values(record: Customer | Vehicle) -> dict[str, str]:
    texts = {name: "" if value is None else str(value) for name, value in vars(record).items()}
    return {**texts, "phone": phone(texts["phone"])} if texts.get("phone") else texts


def _history(changes: Iterable[Change]) -> tuple[ReadChange, ...]:
    return tuple(map(read_change, changes))


def _faults(error: InvalidInput) -> dict[str, str]:
    return {fault.path: words().fault(fault) for fault in error.faults}
