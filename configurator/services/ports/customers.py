"""Customers and their cars."""

from collections.abc import Mapping, Sequence
from typing import Protocol

from configurator.domain.customers import Change, Customer, CustomerPage, RequestLine, Vehicle


class Customers(Protocol):
    """Customers, their cars, and what was changed of them."""

    def find(self, text: str, *, before_id: int | None = None, rows: int = 50) -> CustomerPage:
        """Those with words that begin like these (name, company, e-mail, phone, plate); all for an empty text. Newest first."""

    def by_id(self, customer_id: int) -> Customer | None:
        """One customer; an id that was merged into another leads to the one that stayed."""

    def alike(self, customer: Customer) -> Sequence[Customer]:
        """Others with the same e-mail address, phone or plate."""

    def vehicles_of(self, customer_id: int) -> Sequence[Vehicle]:
        """Their cars, newest first."""

    def vehicle(self, vehicle_id: int) -> Vehicle | None:
        """One car."""

    def requests_of(self, customer_id: int, *, vehicle_id: int | None = None) -> Sequence[RequestLine]:
        """Their latest requests, newest first; for one car where it is named."""

    def history(self, customer_id: int, *, vehicle_id: int | None = None) -> Sequence[Change]:
        """What was changed, newest first."""

    def change(self, customer: Customer, values: Mapping[str, str | None], change: Change) -> None:
        """Writes fields of a customer. Raises ChangedMeanwhile when somebody else did since it was read."""

    def change_vehicle(self, vehicle: Vehicle, values: Mapping[str, str | int | None], change: Change) -> None:
        """Writes fields of a car. Raises ChangedMeanwhile."""

    def merge(self, kept: Customer, gone: Customer, change: Change) -> None:
        """Gives everything of one to the other; the first stays. Raises ChangedMeanwhile."""
