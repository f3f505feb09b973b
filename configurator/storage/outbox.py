"""The outbox: mails written in the same transaction as what they tell, and handed to whoever sends them."""

import secrets
from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import func, select, update
from sqlalchemy.orm import Session

from configurator.domain.desk import Letter, NewMail, OutgoingMail
from configurator.storage.models import HeartbeatRow, MailRow, RequestRow, UserRow

WORKER = "outbox"


class SqlMails:
    """The outbox of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session

    def add(self, mail: NewMail, now: datetime) -> None:
        """Puts a mail in; its message id is fixed here, so that a second try is the same mail to the receiver."""
        self._session.add(
            MailRow(
                request_id=mail.request_id,
                user_id=mail.user_id,
                kind=mail.kind,
                recipient=mail.recipient,
                locale=mail.locale,
                subject=mail.letter.subject,
                text=mail.letter.text,
                calendar=mail.calendar,
                message_id=secrets.token_hex(16),
                state="waiting",
                tries=0,
                created_at=now,
                due_at=now,
                last_error="",
            )
        )

    def take_due(self, now: datetime, *, lease: timedelta, limit: int) -> Sequence[OutgoingMail]:
        """Claims mails that are due: nobody else gets them until the lease is over, even if this worker dies."""
        due = select(MailRow.id).where(MailRow.state == "waiting", MailRow.due_at <= now).order_by(MailRow.due_at, MailRow.id).limit(limit)
        ids = list(self._session.scalars(due.with_for_update(skip_locked=True)))
        if not ids:
            return ()
        self._session.execute(update(MailRow).where(MailRow.id.in_(ids)).values(due_at=now + lease, tries=MailRow.tries + 1))
        return self._records(MailRow.id.in_(ids))

    def mark_sent(self, mail_id: int, now: datetime) -> None:
        self._session.execute(update(MailRow).where(MailRow.id == mail_id).values(state="sent", sent_at=now, last_error=""))

    def mark_failed(self, mail_id: int, *, error: str, due_at: datetime | None) -> None:
        """Notes what went wrong and when the next try is; None: given up."""
        values = {"state": "failed"} if due_at is None else {"due_at": due_at}
        self._session.execute(update(MailRow).where(MailRow.id == mail_id).values(last_error=error[:300], **values))

    def try_again(self, mail_id: int, now: datetime) -> bool:
        """Puts a mail that was given up, or that waits for its next try, back to the front."""
        waiting = update(MailRow).where(MailRow.id == mail_id, MailRow.state != "sent").values(state="waiting", due_at=now, tries=0)
        return bool(self._session.execute(waiting).rowcount)  # type: ignore[attr-defined]

    def latest(self, *, limit: int, before_id: int | None = None, state: str = "") -> Sequence[OutgoingMail]:
        """The newest mails first."""
        conditions = [MailRow.id < before_id] if before_id is not None else []
        if state:
            conditions.append(MailRow.state == state)
        return self._records(*conditions, newest_first=True, limit=limit)

    def by_id(self, mail_id: int) -> OutgoingMail | None:
        return next(iter(self._records(MailRow.id == mail_id)), None)

    def about(self, request_id: int) -> Sequence[OutgoingMail]:
        """Every mail about a request, oldest first."""
        return self._records(MailRow.request_id == request_id)

    def counts(self) -> dict[str, int]:
        """How many mails wait, were sent, were given up."""
        counted = self._session.execute(select(MailRow.state, func.count()).group_by(MailRow.state))
        return {state: count for state, count in counted}  # noqa: C416 - rows, not tuples, to the type checker

    def failed(self) -> int:
        """How many were given up."""
        return self._session.scalar(select(func.count()).select_from(MailRow).where(MailRow.state == "failed")) or 0

    def beat(self, now: datetime) -> None:
        """The worker's sign of life."""
        self._session.merge(HeartbeatRow(worker=WORKER, at=now))

    def last_beat(self) -> datetime | None:
        return self._session.scalar(select(HeartbeatRow.at).where(HeartbeatRow.worker == WORKER))

    def _records(self, *conditions: object, newest_first: bool = False, limit: int | None = None) -> Sequence[OutgoingMail]:
        statement = (
            select(MailRow, RequestRow.reference, RequestRow.link_nonce, UserRow.reset_nonce)
            .outerjoin(RequestRow, RequestRow.id == MailRow.request_id)
            .outerjoin(UserRow, UserRow.id == MailRow.user_id)
            .where(*conditions)  # type: ignore[arg-type]
            .order_by(MailRow.id.desc() if newest_first else MailRow.id)
            .limit(limit)
        )
        return tuple(
            _to_mail(row, reference, link_nonce, user_nonce)
            for row, reference, link_nonce, user_nonce in self._session.execute(statement.execution_options(populate_existing=True))
        )


def _to_mail(row: MailRow, reference: str | None, link_nonce: str | None, user_nonce: str | None) -> OutgoingMail:
    return OutgoingMail(
        id=row.id,
        kind=row.kind,
        recipient=row.recipient,
        locale=row.locale,
        letter=Letter(row.subject, row.text),
        calendar=row.calendar,
        message_id=row.message_id,
        state=row.state,
        tries=row.tries,
        created_at=row.created_at,
        due_at=row.due_at,
        sent_at=row.sent_at,
        last_error=row.last_error,
        reference=reference,
        link_nonce=link_nonce,
        user_id=row.user_id,
        user_nonce=user_nonce,
    )
