"""The one register of what every text and document column holds about a person: erasing and exporting read nothing else.

A new column of text or JSON must be written down here; a test fails until it is. Columns of other types hold no words and are kept,
except those named here.
"""

from collections.abc import Mapping

from configurator.domain.data_rights import Treatment

KEPT, STAFF, KEY, NAME, EMPTIED, CLEANED = Treatment

DROPPED = frozenset({"search_words", "customer_words", "photos"})
"""Tables whose rows go with their person: words made from what is erased, and photos."""
NOT_ABOUT_CUSTOMERS = frozenset({"users", "sessions", "heartbeats", "allowed_sites", "seen_sites", "blocks", "calendar_feeds"})
"""Tables of the shop itself; no customer stands in them."""

COLUMNS: Mapping[str, Mapping[str, Treatment]] = {
    "customers": {
        "name": NAME, "email": EMPTIED, "email_key": EMPTIED, "phone": EMPTIED, "company": EMPTIED, "tax_number": EMPTIED,
        "language": KEPT,
    },
    "vehicles": {"body": KEPT, "description": EMPTIED, "colour": EMPTIED, "plate": EMPTIED, "plate_key": EMPTIED},
    "customer_changes": {"kind": KEPT, "actor": KEPT, "actor_name": STAFF, "fields": EMPTIED},
    "requests": {
        "reference": KEPT, "link_nonce": KEY, "link_hash": KEY, "idempotency_key": KEY, "fingerprint": KEY, "state": KEPT,
        "name": NAME, "email": EMPTIED, "phone": EMPTIED, "company": EMPTIED, "language": KEPT, "car": EMPTIED, "dates": KEPT,
        "notes": EMPTIED, "acknowledged": KEPT, "consents": KEPT, "source": KEPT, "locale": KEPT, "selection": KEPT, "estimate": KEPT,
        "price_book": KEPT, "body": KEPT, "package": KEPT, "region": KEPT, "edges": KEPT, "currency": KEPT,
    },
    "original_scopes": {"selection": KEPT, "estimate": KEPT, "acknowledged": KEPT},
    "events": {
        "kind": KEPT, "source": KEPT, "target": KEPT, "actor": KEPT, "actor_name": STAFF, "reason": EMPTIED, "facts": CLEANED,
    },
    "mails": {
        "kind": KEPT, "recipient": EMPTIED, "locale": KEPT, "subject": EMPTIED, "text": EMPTIED, "calendar": EMPTIED,
        "message_id": KEPT, "state": KEPT, "last_error": EMPTIED,
    },
    "quote_drafts": {"document": CLEANED},
    "quotes": {"document": CLEANED, "currency": KEPT, "sent_by_name": STAFF, "acceptance": CLEANED},
    "bookings": {"uid": KEPT, "installer_minutes": KEPT, "assembler_minutes": KEPT},
    "measurements": {"document": KEPT, "by_name": STAFF},
    "bay_jobs": {
        "body": KEPT, "edges": KEPT, "price_book": KEPT, "selection": KEPT, "check_in": CLEANED, "rolls": KEPT, "seams": KEPT,
        "cut_plan": KEPT, "coverage": CLEANED,
    },
    "bay_tasks": {
        "key": KEPT, "body": KEPT, "kind": KEPT, "panel": KEPT, "part": KEPT, "role": KEPT, "zone": KEPT, "after": KEPT, "steps": KEPT,
        "laid": KEPT, "state": KEPT, "finished_by": STAFF, "reason": EMPTIED,
    },
    "bay_timers": {"name": STAFF},
    "bay_marks": {"kind": KEPT, "key": KEPT, "note": EMPTIED, "name": STAFF},
    "bay_boxes": {"entry": KEPT, "film": KEPT, "batch": KEPT, "panels": KEPT, "by": STAFF},
    "bay_remakes": {"entry": KEPT, "piece": KEPT, "panel": KEPT, "film": KEPT, "reason": KEPT, "by": STAFF},
    "follow_ups": {"panel": KEPT, "kind": KEPT, "film": KEPT, "batches": KEPT},
    "photos": {"kind": KEPT, "name": KEY, "caption": EMPTIED, "actor": KEPT},
}  # fmt: skip
"""Table -> column -> what it holds."""

WORDS_IN: Mapping[tuple[str, str], frozenset[str]] = {
    ("quote_drafts", "document"): frozenset({"words", "reason", "label"}),
    ("quotes", "document"): frozenset({"words", "reason", "label"}),
    ("quotes", "acceptance"): frozenset({"name"}),
    ("bay_jobs", "check_in"): frozenset({"signed", "items", "notes", "note", "key_tag"}),
    ("bay_jobs", "coverage"): frozenset({"received_by", "reason"}),
}
"""For CLEANED documents: the names, at any depth, under which somebody's words stand."""

FACTS_KEPT = frozenset({"of", "panel", "operation", "remake", "line", "currency", "role", "kind", "film", "lamp", "site"})
"""Facts of a history whose texts are codes of the program. Every other text goes, unless it is the name of somebody of the shop."""
