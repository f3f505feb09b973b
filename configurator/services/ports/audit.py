"""The audit trail, and requests as rows of a table."""

from collections.abc import Collection, Mapping
from typing import Any, Protocol

from configurator.domain.audit import AuditPage, AuditQuestion


class Audit(Protocol):
    """Every entry there is."""

    def page(self, question: AuditQuestion) -> AuditPage:
        """One page, newest first."""


class RequestRows(Protocol):
    """Requests as plain values, for a table outside of this program."""

    def of(self, ids: Collection[int]) -> Mapping[int, Mapping[str, Any]]:
        """Request id -> name of the column -> text, number or None."""
