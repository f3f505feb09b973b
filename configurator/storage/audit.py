"""The audit trail, read from the events of all requests and of the shop."""

from sqlalchemy import select
from sqlalchemy.orm import Session

from configurator.domain.audit import AuditPage, AuditQuestion, AuditRow, kinds_of
from configurator.storage.models import EventRow, RequestRow
from configurator.storage.requests import to_event


class SqlAudit:
    """The trail of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def page(self, question: AuditQuestion) -> AuditPage:
        """By the entries' numbers, downwards from the last one of the page before: page 1,000 costs what page 1 does."""
        statement = select(EventRow, RequestRow.reference).outerjoin(RequestRow, RequestRow.id == EventRow.request_id)
        if question.user_id is not None:
            statement = statement.where(EventRow.user_id == question.user_id)
        if question.group is not None:
            kinds, wanted = kinds_of(question.group)
            statement = statement.where(EventRow.kind.in_(kinds) if wanted else EventRow.kind.not_in(kinds))
        if question.reference:
            of_this = select(RequestRow.id).where(RequestRow.reference == question.reference).scalar_subquery()
            statement = statement.where(EventRow.request_id == of_this)
        if question.before is not None:
            statement = statement.where(EventRow.id < question.before)
        found = self._session.execute(statement.order_by(EventRow.id.desc()).limit(question.rows + 1)).all()
        rows = tuple(AuditRow(event.id, to_event(event), reference) for event, reference in found[: question.rows])
        return AuditPage(rows, len(found) > question.rows)
