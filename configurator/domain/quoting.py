"""A firm quote: what the desk writes (the draft), what is sent and kept for ever (the quote), and what the customer answered."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from enum import StrEnum
from types import MappingProxyType

from configurator.domain.desk import Document
from configurator.domain.estimate import Caution
from configurator.domain.kept_estimate import KeptEstimate
from configurator.domain.message import Message

ADDED = "added"
"""The code of a line that the desk wrote itself."""


class Reader(StrEnum):
    """Who reads the reason of a change."""

    PRINTED = "printed"
    SHOP = "shop"


@dataclass(frozen=True)
class Adjustment:
    """A line of the estimate with another amount, or struck (`amount` None). `estimated` is what it stood at when it was changed."""

    estimated: Decimal
    amount: Decimal | None
    reason: str
    reader: Reader = Reader.PRINTED


@dataclass(frozen=True)
class Addition:
    """A line that the estimate hasn't. An amount below zero is a deduction."""

    id: str
    label: str
    amount: Decimal
    reason: str
    reader: Reader = Reader.PRINTED


@dataclass(frozen=True)
class Offer:
    """A drop-off that is offered. Nothing holds it before it is accepted."""

    drop_off: datetime
    hand_back: datetime
    late_hand_back: datetime
    days: int
    late_days: int
    bay: int | None = None


@dataclass(frozen=True)
class Draft:
    """What the desk has written so far. `expiry` and `deposit` None: as the price book says; `settled`: caution key -> how."""

    adjustments: Mapping[str, Adjustment] = field(default_factory=lambda: MappingProxyType({}))
    additions: tuple[Addition, ...] = ()
    settled: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    offers: tuple[Offer, ...] = ()
    expiry: date | None = None
    deposit: Decimal | None = None
    words: str = ""


EMPTY_DRAFT = Draft()


@dataclass(frozen=True)
class QuoteLine:
    """One line as quoted. `estimated` None: not in the estimate; `label` only for a line the desk wrote; a struck line has amount 0."""

    id: str
    code: str
    label: str
    why: Message | None
    estimated: Decimal | None
    amount: Decimal
    struck: bool = False
    reason: str = ""
    reader: Reader = Reader.PRINTED

    @property
    def is_changed(self) -> bool:
        return self.estimated is None or self.struck or self.amount != self.estimated

    @property
    def is_printed(self) -> bool:
        """Whether the customer's copy has it: a struck line only where its reason is meant for the customer."""
        return not self.struck or self.reader is Reader.PRINTED

    @property
    def printed_reason(self) -> str:
        return self.reason if self.reader is Reader.PRINTED else ""


@dataclass(frozen=True)
class FirmPrice:
    """Lines, tax and rounding add up to the total to the smallest unit.

    `tax` is inside the total, or zero where prices are shown without it; `tax_on_top` is what comes to it then, where the rate is known.
    """

    currency: str
    lines: tuple[QuoteLine, ...]
    net: Decimal
    tax: Decimal
    rounding: Decimal
    total: Decimal
    tax_shown: str
    tax_rate: Decimal | None
    tax_on_top: Decimal | None = None


@dataclass(frozen=True)
class QuoteTerms:
    """What holds beside the price. Amounts are recorded only: no payment is taken. `cancellation` in the customer's language."""

    deposit: Decimal
    cancellation: str


@dataclass(frozen=True)
class RegionalText:
    """What the customer's region wants said when a quote is accepted; empty where it asks for nothing of its own."""

    accept: str = ""
    withdrawal: str = ""
    consents: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True)
class QuoteContent:
    """Everything a sent quote says, kept as it was sent. `estimate` and `selection` are the scope and the drawing's inputs.

    `acknowledged`: lamps (or windshield) for which the customer confirmed off-road or show use when sending; `to_acknowledge`: those
    that must be confirmed when accepting. `settled`: how the desk settled each caution, for the shop only.
    """

    price: FirmPrice
    selection: Document
    estimate: KeptEstimate
    locale: str
    region: str
    body: str
    package: str
    edges: str
    offers: tuple[Offer, ...]
    expiry: date
    terms: QuoteTerms
    regional: RegionalText
    acknowledged: tuple[str, ...] = ()
    to_acknowledge: tuple[str, ...] = ()
    settled: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    words: str = ""


@dataclass(frozen=True)
class Acceptance:
    """How a quote was accepted: the name as typed, the place that was chosen, and every text that was agreed to, word for word."""

    name: str
    drop_off: datetime | None
    acknowledged: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    consents: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    button: str = ""
    withdrawal: str = ""
    terms: str = ""
    locale: str = "en_US"


@dataclass(frozen=True, kw_only=True)
class NewQuote:
    """A quote about to be kept and sent."""

    content: QuoteContent
    sent_at: datetime
    sent_by: int | None
    sent_by_name: str
    expires_at: datetime


@dataclass(frozen=True, kw_only=True)
class Quote:
    """A sent quote. Its content never changes; a newer version voids it."""

    id: int
    request_id: int
    version: int
    content: QuoteContent
    sent_at: datetime
    sent_by_name: str
    expires_at: datetime
    opened_at: datetime | None = None
    voided_at: datetime | None = None
    accepted_at: datetime | None = None
    declined_at: datetime | None = None
    acceptance: Acceptance | None = None

    def has_expired(self, now: datetime) -> bool:
        return now >= self.expires_at


@dataclass(frozen=True)
class Original:
    """A request as the visitor sent it, kept when the desk changes the scope."""

    selection: Document
    estimate: KeptEstimate
    acknowledged: frozenset[str]


@dataclass(frozen=True)
class NewScope:
    """What the desk makes of a request's scope: the selection and its estimate by today's price book, with what the list shows of them."""

    selection: Document
    estimate: KeptEstimate
    body: str
    package: str
    region: str
    edges: str
    acknowledged: frozenset[str]


def caution_key(caution: Caution) -> str:
    """What a caution is settled by: the same caution at another place is settled by itself."""
    return f"{caution.code}:{caution.where or ''}"
