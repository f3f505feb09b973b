"""A person's data for the owner: what is kept under an e-mail address, all of it as a file, or erased. The address is never in a link."""

import hmac
from collections.abc import Iterator
from tempfile import SpooledTemporaryFile
from typing import IO

from flask import Blueprint, Response, make_response, render_template, request

from configurator.domain.data_rights import Holding
from configurator.domain.desk import Event
from configurator.domain.staff import Right
from configurator.services.records.erasing import Erasure, StillNeeded, erase
from configurator.services.records.exporting import export_person
from configurator.web.i18n import words
from configurator.web.staff.downloads import download
from configurator.web.staff.guard import needs, person
from configurator.web.typed_numbers import whole_number
from configurator.web.wiring import wired

IN_MEMORY = 5_000_000
PIECE = 65_536
LONGEST_EMAIL = 254


@needs(Right.DATA_RIGHTS)
def person_data() -> str:
    """Asks whose; a request's reference or a customer's number in the address fills in the person."""
    return _page(_email_of(request.args.get("request", ""), request.args.get("customer", "")))


@needs(Right.DATA_RIGHTS)
def find_person() -> str:
    """Shows what is kept."""
    return _page(_typed("email"))


@needs(Right.DATA_RIGHTS)
def export_person_file() -> Response:
    """Everything as one archive. That it was taken stands in the audit trail, without whose it was."""
    archive: IO[bytes] = SpooledTemporaryFile(max_size=IN_MEMORY)  # noqa: SIM115 - closed when it has been sent
    holding = export_person(_typed("email"), wired().records, archive)  # type: ignore[arg-type]
    if holding.is_empty:
        archive.close()
        return make_response(_page(_typed("email")), 404)
    with wired().store.writing() as work:
        facts = {"requests": len(holding.requests)}
        work.requests.record(None, Event(at=wired().clock(), by=person(), kind="person_exported", facts=facts))
    return download(_pieces(archive), "personal-data", "zip")


@needs(Right.DATA_RIGHTS)
def erase_person() -> Response | str:
    """Erases for good, once the address was typed again."""
    email = _typed("email")
    if not hmac.compare_digest(email.casefold().encode(), _typed("again").casefold().encode()):
        return make_response(_page(email, fault=words().gettext("This is not the same address. Nothing was erased.")), 422)
    try:
        erased = erase(email, person(), wired().records)
    except StillNeeded:
        return make_response(_page(email), 409)
    return _page("", erased=erased)


def add_to(blueprint: Blueprint) -> None:
    """Adds these addresses."""
    blueprint.add_url_rule("/person-data", "person_data", person_data)
    for name, view in (("find", find_person), ("export", export_person_file), ("erase", erase_person)):
        blueprint.add_url_rule(f"/person-data/{name}", f"person_data_{name}", view, methods=["POST"])


def _page(email: str, *, fault: str = "", erased: Erasure | None = None) -> str:
    found = None
    if email:
        with wired().store.reading() as work:
            found = work.data_rights.held(email)
            photos = sum(len(work.photos.of(held.id)) for held in found.requests)
    return render_template(
        "staff/person_data.html",
        email=email,
        found=found,
        photos=photos if found is not None else 0,
        fault=fault,
        erased=erased,
        help=_what_to_do(found) if found else (),
    )


def _what_to_do(found: Holding) -> tuple[str, ...]:
    """For each request that stands in the way: how it comes to an end."""
    say = words()
    how = {
        "accepted": say.gettext("%(reference)s is accepted: withdraw it on the customer's word first."),
        "scheduled": say.gettext("%(reference)s has a place in the bay: withdraw it on the customer's word first."),
        "in_bay": say.gettext("%(reference)s is in the bay: hand the car over first."),
    }
    return tuple(how[held.state.value] % {"reference": held.reference} for held in found.busy)


def _email_of(reference: str, customer: str) -> str:
    with wired().store.reading() as work:
        customer_id = whole_number(customer)
        if customer_id is not None:
            known = work.customers.by_id(customer_id)
            return known.email if known else ""
        found = work.requests.by_reference(reference) if reference else None
    return found.contact.email if found else ""


def _typed(name: str) -> str:
    return request.form.get(name, "")[:LONGEST_EMAIL].strip()


def _pieces(archive: IO[bytes]) -> Iterator[bytes]:
    with archive:
        archive.seek(0)
        while piece := archive.read(PIECE):
            yield piece
