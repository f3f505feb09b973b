"""The audit trail: every entry of every history and of the shop's own, newest first, a page at a time."""

from dataclasses import dataclass
from enum import StrEnum

from configurator.domain.desk import Event

PAGE_ROWS = 50


class AuditGroup(StrEnum):
    """What an entry is about, as one filter."""

    REQUESTS = "requests"
    QUOTES = "quotes"
    BAY = "bay"
    PHOTOS = "photos"
    ACCESS = "access"
    PEOPLE = "people"
    DATA = "data"
    OTHER = "other"


KINDS: dict[AuditGroup, frozenset[str]] = {
    AuditGroup.REQUESTS: frozenset({"moved", "opened", "assigned", "noted", "scope_changed"}),
    AuditGroup.QUOTES: frozenset(
        {
            "quote_sent", "quote_opened", "quote_terms_changed", "line_added", "line_adjusted", "line_restored", "line_struck",
            "caution_settled", "caution_unsettled",
        }
    ),
    AuditGroup.BAY: frozenset(
        {
            "task_struck", "piece_remade", "light_measured", "light_unmeasured", "bay_blocked", "bay_unblocked", "person_away",
            "person_back",
        }
    ),
    AuditGroup.PHOTOS: frozenset({"photo_added", "photo_removed"}),
    AuditGroup.ACCESS: frozenset(
        {
            "logged_in", "log_in_refused", "password_changed", "password_set", "password_reset_asked", "pin_refused", "pin_set",
            "pin_cleared", "second_factor_on", "second_factor_off", "recovery_codes_made", "sessions_ended", "device_opened",
            "device_ended", "device_picked_up",
        }
    ),
    AuditGroup.PEOPLE: frozenset({"person_added", "person_invited", "person_let_back", "person_shut_out", "role_changed"}),
    AuditGroup.DATA: frozenset({"person_erased", "erased", "person_exported", "requests_exported", "audit_exported"}),
}  # fmt: skip
"""Kinds of entries by what they are about; a kind that stands nowhere is `OTHER`."""


def kinds_of(group: AuditGroup) -> tuple[frozenset[str], bool]:
    """The kinds of a group, and whether they are the ones that are wanted (else: the ones that are not)."""
    if group is AuditGroup.OTHER:
        return frozenset().union(*KINDS.values()), False
    return KINDS[group], True


def group_of(kind: str) -> AuditGroup:
    """What an entry of this kind is about."""
    return next((group for group, kinds in KINDS.items() if kind in kinds), AuditGroup.OTHER)


@dataclass(frozen=True, kw_only=True)
class AuditQuestion:
    """What the trail is asked for. `before` is the number of the last entry of the page before."""

    user_id: int | None = None
    group: AuditGroup | None = None
    reference: str = ""
    before: int | None = None
    rows: int = PAGE_ROWS


@dataclass(frozen=True)
class AuditRow:
    """An entry with its number, and the request that it is about (None: about the shop)."""

    id: int
    event: Event
    reference: str | None


@dataclass(frozen=True)
class AuditPage:
    rows: tuple[AuditRow, ...]
    has_more: bool
