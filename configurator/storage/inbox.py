"""The inbox: one page of requests in the desk's order, and how many there are in each group.

Pages are found by the place where the last one ended (keyset), group by group, so that page 1,000 costs what page 1 does.
"""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from sqlalchemy import Select, func, select, tuple_
from sqlalchemy.orm import Session

from configurator.domain.finding import query_words
from configurator.domain.inbox import InboxPage, InboxQuestion, InboxRow, Place, View, desk_rank
from configurator.domain.money import CURRENCIES
from configurator.domain.review import State
from configurator.storage.models import RequestRow, SearchWordRow

_AFTER_ANY_WORD = "\U0010ffff"
_COLUMNS = (
    RequestRow.id, RequestRow.reference, RequestRow.state, RequestRow.received_at, RequestRow.state_since, RequestRow.answer_due,
    RequestRow.opened_at, RequestRow.name, RequestRow.company, RequestRow.body, RequestRow.package, RequestRow.edges, RequestRow.car,
    RequestRow.currency, RequestRow.price_low_minor, RequestRow.price_typical_minor, RequestRow.price_high_minor,
    RequestRow.days_typical, RequestRow.days_high, RequestRow.dates, RequestRow.to_settle, RequestRow.to_know, RequestRow.assigned_to,
    RequestRow.locale,
)  # fmt: skip


class SqlInbox:
    """The inbox of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def page(self, question: InboxQuestion) -> InboxPage:
        """The rows after a place, at most `rows` of them; `has_more` when others follow."""
        wanted = question.rows + 1
        found: list[InboxRow] = []
        for rank in _ranks(question):
            statement = _in_group(rank, question).limit(wanted - len(found))
            found.extend(_row(row) for row in self._session.execute(statement))
            if len(found) >= wanted:
                break
        return InboxPage(tuple(found[: question.rows]), len(found) > question.rows)

    def counts(self, question: InboxQuestion) -> Mapping[State, int]:
        """How many requests of each open state the question's filters leave."""
        open_ranks = [desk_rank(state) for state in View.OPEN.states]
        statement = select(RequestRow.state, func.count()).where(RequestRow.desk_rank.in_(open_ranks), *_filters(question))
        found = {State(state): count for state, count in self._session.execute(statement.group_by(RequestRow.state))}
        return {state: found.get(state, 0) for state in View.OPEN.states}

    def unopened(self) -> int:
        """New requests that nobody has opened."""
        new = RequestRow.desk_rank == desk_rank(State.RECEIVED)
        return self._session.scalar(select(func.count()).select_from(RequestRow).where(new, RequestRow.opened_at.is_(None))) or 0


def _ranks(question: InboxQuestion) -> list[int]:
    ranks = sorted(desk_rank(state) for state in question.view.states)
    return [rank for rank in ranks if question.after is None or rank >= question.after.rank]


def _in_group(rank: int, question: InboxQuestion) -> Select[*tuple[Any, ...]]:
    newest_first = not question.longest_first
    order = (RequestRow.received_at.desc(), RequestRow.id.desc()) if newest_first else (RequestRow.received_at, RequestRow.id)
    statement: Select[*tuple[Any, ...]] = select(*_COLUMNS).where(RequestRow.desk_rank == rank, *_filters(question)).order_by(*order)
    if question.after is not None and question.after.rank == rank:
        statement = statement.where(_beyond(question.after, newest_first=newest_first))
    return statement


def _beyond(place: Place, *, newest_first: bool) -> Any:
    here = tuple_(RequestRow.received_at, RequestRow.id)
    there = tuple_(*(place.received_at, place.id), types=[RequestRow.received_at.type, RequestRow.id.type])
    return here < there if newest_first else here > there


def _filters(question: InboxQuestion) -> list[Any]:
    filters: list[Any] = [_has_word(word) for word in query_words(question.text)]
    if question.body:
        filters.append(RequestRow.body == question.body)
    if question.assigned_to is not None:
        filters.append(RequestRow.assigned_to == question.assigned_to)
    if question.expires_before is not None:
        filters.append(RequestRow.quote_expires_at < question.expires_before)
    return filters


def _has_word(word: str) -> Any:
    """Requests with a word that begins like this; a range, so that the index answers it on both databases."""
    begins = select(SearchWordRow.request_id).where(SearchWordRow.word >= word, SearchWordRow.word < word + _AFTER_ANY_WORD)
    return RequestRow.id.in_(begins)


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
    )
