"""The inbox: one page of requests in the desk's order, and how many there are in each group.

Pages are found by the place where the last one ended (keyset), group by group, so that page 1,000 costs what page 1 does.
"""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, and_, func, or_, select, tuple_
from sqlalchemy.orm import Session

from configurator.domain.inbox import NO_ONE, InboxPage, InboxQuestion, InboxRow, Place, View, desk_rank
from configurator.domain.money import CURRENCIES
from configurator.domain.review import State
from configurator.storage.models import RequestRow
from configurator.storage.searching import Search, resolve

STATE_OF = {desk_rank(state): state for state in State}
_COLUMNS = (
    RequestRow.id, RequestRow.reference, RequestRow.state, RequestRow.received_at, RequestRow.state_since, RequestRow.answer_due,
    RequestRow.opened_at, RequestRow.name, RequestRow.company, RequestRow.body, RequestRow.package, RequestRow.edges, RequestRow.car,
    RequestRow.currency, RequestRow.price_low_minor, RequestRow.price_typical_minor, RequestRow.price_high_minor,
    RequestRow.days_typical, RequestRow.days_high, RequestRow.dates, RequestRow.to_settle, RequestRow.to_know, RequestRow.assigned_to,
    RequestRow.locale, RequestRow.quote_expires_at,
)  # fmt: skip


class SqlInbox:
    """The inbox of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def page(self, question: InboxQuestion) -> InboxPage:
        """The rows after a place, at most `rows` of them; `has_more` when others follow."""
        search = resolve(question.text, self._session)
        found = self._among_few(question, search) if search.ids is not None else self._group_by_group(question, search)
        return InboxPage(tuple(found[: question.rows]), len(found) > question.rows)

    def counts(self, question: InboxQuestion) -> Mapping[State, int]:
        """How many requests of each open state the question's filters leave; nothing for a search that would have to read them all."""
        search = resolve(question.text, self._session)
        if search.reads_along:
            return {}
        open_ranks = [desk_rank(state) for state in View.OPEN.states]
        counted = select(RequestRow.desk_rank, func.count()).where(RequestRow.desk_rank.in_(open_ranks), *_filters(question, search))
        found = {STATE_OF[rank]: count for rank, count in self._session.execute(counted.group_by(RequestRow.desk_rank))}
        return {state: found.get(state, 0) for state in View.OPEN.states}

    def unopened(self) -> int:
        """New requests that nobody has opened."""
        new = RequestRow.desk_rank == desk_rank(State.RECEIVED)
        return self._session.scalar(select(func.count()).select_from(RequestRow).where(new, RequestRow.opened_at.is_(None))) or 0

    def newest_id(self) -> int:
        """The number of the request that was kept last; 0 when there is none."""
        return self._session.scalar(select(func.max(RequestRow.id))) or 0

    def arrived_after(self, request_id: int) -> int:
        """How many requests were kept after that one."""
        return self._session.scalar(select(func.count()).select_from(RequestRow).where(RequestRow.id > request_id)) or 0

    def _group_by_group(self, question: InboxQuestion, search: Search) -> list[InboxRow]:
        wanted = question.rows + 1
        found: list[InboxRow] = []
        for rank in _ranks(question):
            rows = self._session.execute(_in_group(rank, question, search).limit(wanted - len(found)))
            found.extend(map(_row, rows))
            if len(found) >= wanted:
                break
        return found

    def _among_few(self, question: InboxQuestion, search: Search) -> list[InboxRow]:
        """All groups at once: the few rows that can be meant are sorted, and no group is read along."""
        place, order = question.after, _order(question)
        statement = select(*_COLUMNS).where(RequestRow.desk_rank.in_(_ranks(question)), *_filters(question, search))
        if place is not None:
            later = and_(RequestRow.desk_rank == place.rank, _beyond(place, newest_first=not question.longest_first))
            statement = statement.where(or_(RequestRow.desk_rank > place.rank, later))
        return list(map(_row, self._session.execute(statement.order_by(RequestRow.desk_rank, *order).limit(question.rows + 1))))


def _ranks(question: InboxQuestion) -> list[int]:
    ranks = sorted(desk_rank(state) for state in question.view.states)
    return [rank for rank in ranks if question.after is None or rank >= question.after.rank]


def _order(question: InboxQuestion) -> tuple[Any, Any]:
    if question.longest_first:
        return RequestRow.received_at, RequestRow.id
    return RequestRow.received_at.desc(), RequestRow.id.desc()


def _in_group(rank: int, question: InboxQuestion, search: Search) -> Select[*tuple[Any, ...]]:
    statement: Select[*tuple[Any, ...]] = select(*_COLUMNS).where(RequestRow.desk_rank == rank, *_filters(question, search))
    if question.after is not None and question.after.rank == rank:
        statement = statement.where(_beyond(question.after, newest_first=not question.longest_first))
    return statement.order_by(*_order(question))


def _beyond(place: Place, *, newest_first: bool) -> Any:
    here = tuple_(RequestRow.received_at, RequestRow.id)
    there = tuple_(*(place.received_at, place.id), types=[RequestRow.received_at.type, RequestRow.id.type])
    return here < there if newest_first else here > there


def _filters(question: InboxQuestion, search: Search) -> list[Any]:
    filters: list[Any] = list(search.conditions)
    if question.body:
        filters.append(RequestRow.body == question.body)
    if question.assigned_to is not None:
        whose = RequestRow.assigned_to
        filters.append(whose.is_(None) if question.assigned_to == NO_ONE else whose == question.assigned_to)
    if question.expires_before is not None:
        filters.append(RequestRow.quote_expires_at < question.expires_before)
    return filters


def _row(row: Any) -> InboxRow:
    digits = CURRENCIES[row.currency]
    return InboxRow(
        id=row.id,
        reference=row.reference,
        state=State(row.state),
        received_at=row.received_at,
        state_since=row.state_since,
        answer_due=row.answer_due,
        opened=row.opened_at is not None,
        name=row.name,
        company=row.company or "",
        body=row.body,
        package=row.package,
        edges=row.edges,
        description=row.car.get("description", ""),
        colour=row.car.get("colour", ""),
        currency=row.currency,
        low=Decimal(row.price_low_minor).scaleb(-digits),
        typical=Decimal(row.price_typical_minor).scaleb(-digits),
        high=Decimal(row.price_high_minor).scaleb(-digits),
        days_typical=row.days_typical,
        days_high=row.days_high,
        first_date=row.dates[0] if row.dates else "",
        to_settle=row.to_settle,
        to_know=row.to_know,
        assigned_to=row.assigned_to,
        locale=row.locale,
        quote_expires_at=row.quote_expires_at,
    )
