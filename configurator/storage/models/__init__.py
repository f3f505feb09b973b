"""All tables, so that migrations and tests see the whole schema."""

from configurator.storage.models.base import Base
from configurator.storage.models.bay import BayBoxRow, BayJobRow, BayMarkRow, BayRemakeRow, BayTaskRow, BayTimerRow, FollowUpRow
from configurator.storage.models.bookings import BlockRow, BookingRow, FeedRow
from configurator.storage.models.customers import CustomerChangeRow, CustomerWordRow, MergedCustomerRow
from configurator.storage.models.measurements import MeasurementRow
from configurator.storage.models.outbox import HeartbeatRow, MailRow
from configurator.storage.models.photos import PhotoRow
from configurator.storage.models.quotes import OriginalScopeRow, QuoteDraftRow, QuoteRow
from configurator.storage.models.requests import CustomerRow, EventRow, RequestRow, SearchWordRow, VehicleRow
from configurator.storage.models.sites import AllowedSiteRow, SeenSiteRow
from configurator.storage.models.staff import SessionRow, UserRow

__all__ = [
    "AllowedSiteRow",
    "Base",
    "BayBoxRow",
    "BayJobRow",
    "BayMarkRow",
    "BayRemakeRow",
    "BayTaskRow",
    "BayTimerRow",
    "BlockRow",
    "BookingRow",
    "CustomerChangeRow",
    "CustomerRow",
    "CustomerWordRow",
    "EventRow",
    "FeedRow",
    "FollowUpRow",
    "HeartbeatRow",
    "MailRow",
    "MeasurementRow",
    "MergedCustomerRow",
    "OriginalScopeRow",
    "PhotoRow",
    "QuoteDraftRow",
    "QuoteRow",
    "RequestRow",
    "SearchWordRow",
    "SeenSiteRow",
    "SessionRow",
    "UserRow",
    "VehicleRow",
]
