"""The scope of a request: replaced by the desk's, with the visitor's own kept beside it."""

from sqlalchemy.orm import Session

from configurator.domain.desk import Event, Request
from configurator.domain.kept_estimate import KeptEstimate
from configurator.domain.quoting import NewScope, Original
from configurator.storage.models import OriginalScopeRow
from configurator.storage.requests import SqlRequests, scope_columns
from configurator.storage.typed_json import decode, encode


class SqlScopes:
    """The scopes of one transaction."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._requests = SqlRequests(session)

    def change(self, request: Request, scope: NewScope, event: Event) -> Request:
        """Puts another scope in place. Raises ChangedMeanwhile."""
        values = {**scope_columns(scope), "acknowledged": sorted(scope.acknowledged)}
        changed = self._requests.edit(request, values, event)
        if self._session.get(OriginalScopeRow, request.id) is None:
            original = OriginalScopeRow(
                request_id=request.id, selection=dict(request.selection), estimate=encode(request.estimate),
                acknowledged=sorted(request.acknowledged), kept_at=event.at,
            )  # fmt: skip
            self._session.add(original)
            self._session.flush()
        return changed

    def original(self, request: Request) -> Original | None:
        """The visitor's own, where the desk has changed it."""
        row = self._session.get(OriginalScopeRow, request.id)
        if row is None:
            return None
        return Original(row.selection, decode(KeptEstimate, row.estimate), frozenset(row.acknowledged))
