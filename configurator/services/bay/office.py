"""What the services of the bay work with, and how they find the car they are asked about."""

from dataclasses import dataclass
from datetime import datetime

from configurator.domain.bay.job import Job
from configurator.domain.bay.tasks import Task
from configurator.domain.calendar import ShopCalendar
from configurator.domain.desk import Request
from configurator.domain.price_book import PriceBook
from configurator.domain.review import State
from configurator.domain.shop import Shop
from configurator.errors import TucklineError
from configurator.services import reviewing
from configurator.services.desk import Desk
from configurator.services.ports import Store, Work


class NotInBay(TucklineError):
    """The car isn't in the bay: not checked in yet, or handed over already. `state` says where it is."""

    code = "not_in_bay"

    def __init__(self, state: State) -> None:
        self.state = state
        super().__init__(state.value)


class NoSuchTask(TucklineError):
    """The work order has no such task, seam, piece or check."""

    code = "not_found"


@dataclass(frozen=True)
class Office:
    """The desk's own things, as the bay looks at them."""

    desk: Desk

    @property
    def shop(self) -> Shop:
        return self.desk.shop

    @property
    def store(self) -> Store:
        return self.desk.store

    @property
    def book(self) -> PriceBook:
        return self.shop.book

    @property
    def calendar(self) -> ShopCalendar:
        return self.shop.calendar

    def now(self) -> datetime:
        return self.desk.clock()

    def shop_now(self) -> datetime:
        """Now, on the shop's own clock."""
        return self.now().astimezone(self.calendar.zone)


def job_of(reference: str, work: Work) -> tuple[Request, Job]:
    """A request and its job, in the bay or handed over. Raises NoSuchRequest, NotInBay."""
    request = reviewing.find(reference, work)
    job = work.bay.job(request.id)
    if job is None:
        raise NotInBay(request.state)
    return request, job


def job_at_work(reference: str, work: Work) -> tuple[Request, Job]:
    """The same for writing: held until the transaction ends, and only while the car is in the bay. Raises NoSuchRequest, NotInBay."""
    request = reviewing.find(reference, work)
    job = work.bay.job(request.id, lock=True)
    request = reviewing.find(reference, work)
    if job is None or request.state is not State.IN_BAY:
        raise NotInBay(request.state)
    return request, job


def task_of(job: Job, key: str) -> Task:
    """One task by its key. Raises NoSuchTask."""
    if key not in job.by_key:
        raise NoSuchTask(key)
    return job.by_key[key]
