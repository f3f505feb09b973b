"""Staff: who they are, what their role lets them do, and their sessions."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from configurator.domain.review import Actor


class Right(StrEnum):
    """What a page or a button needs. Least privilege: what a role hasn't, it doesn't even see."""

    READ_REQUESTS = "read_requests"
    WORK_REQUESTS = "work_requests"
    SEE_MONEY = "see_money"
    SEE_MAIL = "see_mail"
    PLAN = "plan"
    BAY = "bay"
    BAY_PARTS = "bay_parts"
    EXPORT = "export"
    DATA_RIGHTS = "data_rights"
    PRICE_BOOK = "price_book"
    PEOPLE = "people"
    SITES = "sites"
    AUDIT = "audit"


_DESK = frozenset({Right.READ_REQUESTS, Right.WORK_REQUESTS, Right.SEE_MONEY, Right.SEE_MAIL, Right.PLAN, Right.BAY, Right.BAY_PARTS})
RIGHTS: dict[Actor, frozenset[Right]] = {
    Actor.OWNER: frozenset(Right),
    Actor.ADVISOR: _DESK | {Right.EXPORT},
    Actor.INSTALLER: frozenset({Right.BAY, Right.BAY_PARTS}),
    Actor.ASSEMBLER: frozenset({Right.BAY_PARTS}),
}
STAFF_ROLES: tuple[Actor, ...] = tuple(RIGHTS)
BAY_RIGHTS: frozenset[Right] = frozenset({Right.BAY, Right.BAY_PARTS})
"""All that a shared tablet in the bay may open, whoever holds it."""


@dataclass(frozen=True, kw_only=True)
class User:
    """A staff member as pages see them; no secret in it. `on_tablet`: known by a PIN on a shared tablet, so bay rights only."""

    id: int
    email: str
    name: str
    role: Actor
    is_active: bool
    language: str | None
    keys_on: bool
    has_password: bool
    has_second_factor: bool
    has_pin: bool
    on_tablet: bool = False

    def may(self, right: Right) -> bool:
        """Whether the role has this right, here."""
        return self.is_active and right in RIGHTS[self.role] and (right in BAY_RIGHTS or not self.on_tablet)


@dataclass(frozen=True, kw_only=True)
class Credentials:
    """What logging in checks. Hashes only; the TOTP secret is derived from `totp_nonce`."""

    user: User
    password_hash: str | None
    failed_tries: int
    locked_until: datetime | None
    totp_nonce: str | None
    totp_on: bool
    totp_last_step: int | None
    recovery_hashes: tuple[str, ...]
    pin_hash: str | None
    pin_failed_tries: int
    pin_locked_until: datetime | None
    reset_nonce: str | None


class SessionKind(StrEnum):
    DESK = "desk"
    DEVICE = "device"


@dataclass(frozen=True, kw_only=True)
class StaffSession:
    """A session: at the desk (`desk`) or of a bay tablet (`device`, whose user may be nobody for now)."""

    id: int
    kind: SessionKind
    user: User | None
    label: str
    created_at: datetime
    seen_at: datetime
    expires_at: datetime
