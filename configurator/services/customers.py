"""What the desk does with customers and their cars: correct what is known of them, and make one of two who are the same."""

from dataclasses import dataclass, replace

from configurator.domain.customers import Change, ChangeKind, Customer, Vehicle, changed_fields
from configurator.domain.desk import Person
from configurator.domain.review import Contact
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.contacts import LONGEST, checked_contact, checked_text
from configurator.services.desk import Desk
from configurator.services.ports import ChangedMeanwhile, Work

LONGEST_TAX_NUMBER = 40
MOST_ODOMETER = 9_999_999
_BETWEEN_DIGITS = str.maketrans("", "", " ,.'’\u00a0\u202f")


class NoSuchCustomer(TucklineError):
    """No customer, or no car, with this id."""

    code = "not_found"


@dataclass(frozen=True)
class TypedCustomer:
    """What was typed into the form, before anything of it is trusted."""

    name: str
    email: str
    phone: str
    company: str
    tax_number: str
    language: str


@dataclass(frozen=True)
class TypedVehicle:
    """The same of a car."""

    description: str
    colour: str
    plate: str
    odometer: str
    body: str


def find(customer_id: int, work: Work) -> Customer:
    """One customer. Raises NoSuchCustomer."""
    found = work.customers.by_id(customer_id)
    if found is None:
        raise NoSuchCustomer
    return found


def find_vehicle(vehicle_id: int, work: Work) -> Vehicle:
    """One car whose owner is still known. Raises NoSuchCustomer."""
    found = work.customers.vehicle(vehicle_id)
    if found is None or work.customers.by_id(found.customer_id) is None:
        raise NoSuchCustomer
    return found


def change_customer(customer_id: int, revision: int, typed: TypedCustomer, by: Person, desk: Desk, *, languages: frozenset[str]) -> None:
    """Corrects a customer; requests keep the contact they were sent with. Raises InvalidInput, ChangedMeanwhile, NoSuchCustomer."""
    values = _checked(typed, desk, languages)
    with desk.store.writing() as work:
        customer = find(customer_id, work)
        _unchanged(customer, revision)
        fields = changed_fields(customer, values)
        if fields:
            change = Change(at=desk.clock(), by=by, kind=ChangeKind.CUSTOMER, fields=fields)
            work.customers.change(customer, {name: values[name] for name in fields}, change)


def change_vehicle(vehicle_id: int, revision: int, typed: TypedVehicle, by: Person, desk: Desk, *, bodies: frozenset[str]) -> None:
    """Corrects a car. Raises InvalidInput, ChangedMeanwhile, NoSuchCustomer."""
    values = _checked_vehicle(typed, bodies)
    with desk.store.writing() as work:
        vehicle = find_vehicle(vehicle_id, work)
        _unchanged(vehicle, revision)
        fields = changed_fields(vehicle, values)
        if fields:
            change = Change(at=desk.clock(), by=by, kind=ChangeKind.VEHICLE, fields=fields, vehicle_id=vehicle.id)
            work.customers.change_vehicle(vehicle, {name: values[name] for name in fields}, change)


def merge(kept_id: int, gone_id: int, revisions: tuple[int, int], by: Person, desk: Desk) -> Customer:
    """Makes one of two customers: cars, requests and history become the first one's, whose contact stays as it is.

    What only the second one had (phone, company, tax number) is taken over. Raises NoSuchCustomer, ChangedMeanwhile.
    """
    with desk.store.writing() as work:
        kept, gone = find(kept_id, work), find(gone_id, work)
        if kept.id == gone.id:
            raise NoSuchCustomer
        _unchanged(kept, revisions[0])
        _unchanged(gone, revisions[1])
        only_theirs = [name for name in ("phone", "company", "tax_number") if getattr(gone, name) and not getattr(kept, name)]
        taken = {name: getattr(gone, name) for name in only_theirs}
        if taken:
            change = Change(at=desk.clock(), by=by, kind=ChangeKind.CUSTOMER, fields=changed_fields(kept, taken))
            work.customers.change(kept, taken, change)
        told = {"name": (gone.name, kept.name), "email": (gone.email, kept.email)}
        change = Change(at=desk.clock(), by=by, kind=ChangeKind.MERGED, fields=told)
        work.customers.merge(find(kept_id, work), gone, change)
    return kept


def _unchanged(record: Customer | Vehicle, revision: int) -> None:
    if record.revision != revision:
        raise ChangedMeanwhile


def _checked(typed: TypedCustomer, desk: Desk, languages: frozenset[str]) -> dict[str, str | None]:
    faults: list[Fault] = []
    tax_number = checked_text(typed.tax_number, "tax_number", faults, longest=LONGEST_TAX_NUMBER) or None
    if typed.language not in languages:
        faults.append(Fault("language", "unknown_id", {"id": typed.language[:20]}))
    contact = Contact(typed.name, typed.email, typed.phone or None, typed.company or None)
    try:
        contact = checked_contact(contact, country=desk.book.shop.country)
    except InvalidInput as error:
        faults += [replace(fault, path=fault.path.removeprefix("contact.")) for fault in error.faults]
    if faults:
        raise InvalidInput(faults)
    known = {"name": contact.name, "email": contact.email, "phone": contact.phone, "company": contact.company}
    return {**known, "tax_number": tax_number, "language": typed.language}


def _checked_vehicle(typed: TypedVehicle, bodies: frozenset[str]) -> dict[str, str | int | None]:
    faults: list[Fault] = []
    words: dict[str, str | int | None] = {
        name: checked_text(getattr(typed, name), name, faults, longest=LONGEST[name]) for name in ("description", "colour", "plate")
    }
    digits = typed.odometer.translate(_BETWEEN_DIGITS)
    if digits and not (digits.isascii() and digits.isdigit() and len(digits) <= len(str(MOST_ODOMETER))):
        faults.append(Fault("odometer", "must_be_whole"))
    if typed.body not in bodies:
        faults.append(Fault("body", "unknown_body", {"body": typed.body[:40]}))
    if faults:
        raise InvalidInput(faults)
    return {**words, "odometer": int(digits) if digits else None, "body": typed.body}
