"""The customer and the car of a request: known ones, or new; and the words that customers are found by.

A request never overwrites what the shop knows of them.
"""

from sqlalchemy import and_, delete, insert, select
from sqlalchemy.orm import Session

from configurator.domain.desk import NewRequest
from configurator.domain.finding import compact, customer_words
from configurator.storage.models import CustomerRow, CustomerWordRow, VehicleRow


def customer_and_car(session: Session, new: NewRequest) -> tuple[int, int]:
    """The numbers of customer and car."""
    customer_id = _known_customer(session, new) or _add_customer(session, new)
    return customer_id, _known_vehicle(session, new, customer_id) or _add_vehicle(session, new, customer_id)


def plate_key(plate: str) -> str:
    """A plate without spaces and dashes, in upper case."""
    return compact(plate).upper()[:20]


def index_customer(session: Session, customer_id: int) -> None:
    """Rewrites the words a customer is found by."""
    row = session.get_one(CustomerRow, customer_id, populate_existing=True)
    plates = session.scalars(select(VehicleRow.plate).where(VehicleRow.customer_id == customer_id)).all()
    words = customer_words(name=row.name, company=row.company, email=row.email, phone=row.phone, plates=plates)
    session.execute(delete(CustomerWordRow).where(CustomerWordRow.customer_id == customer_id))
    if words:
        session.execute(insert(CustomerWordRow), [{"word": word, "customer_id": customer_id} for word in sorted(words)])


def _known_customer(session: Session, new: NewRequest) -> int | None:
    """The customer with this e-mail address."""
    same = (CustomerRow.email_key == new.contact.email.casefold(), CustomerRow.erased_at.is_(None))
    return session.scalar(select(CustomerRow.id).where(*same).order_by(CustomerRow.id))


def _add_customer(session: Session, new: NewRequest) -> int:
    contact = new.contact
    row = CustomerRow(
        name=contact.name, email=contact.email, email_key=contact.email.casefold(), phone=contact.phone, company=contact.company,
        tax_number=None, language=new.locale, created_at=new.received_at,
    )  # fmt: skip
    session.add(row)
    session.flush()
    index_customer(session, row.id)
    return row.id


def _known_vehicle(session: Session, new: NewRequest, customer_id: int) -> int | None:
    """The customer's car with this plate, whatever body was clicked this time; without a plate, with these very words and body."""
    key = plate_key(new.car.plate)
    same = VehicleRow.plate_key == key
    if not key:
        same = and_(same, VehicleRow.body == new.body, VehicleRow.description == new.car.description, VehicleRow.description != "")
    return session.scalar(select(VehicleRow.id).where(VehicleRow.customer_id == customer_id, same).order_by(VehicleRow.id))


def _add_vehicle(session: Session, new: NewRequest, customer_id: int) -> int:
    row = VehicleRow(
        customer_id=customer_id, body=new.body, description=new.car.description, colour=new.car.colour, plate=new.car.plate,
        plate_key=plate_key(new.car.plate), odometer=None, created_at=new.received_at,
    )  # fmt: skip
    session.add(row)
    session.flush()
    if row.plate_key:
        index_customer(session, customer_id)
    return row.id
