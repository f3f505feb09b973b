"""A place in the inbox as it travels in an address: opaque to people, and harmless when somebody makes one up."""

import base64
import binascii
import json
from datetime import datetime

from configurator.domain.inbox import Place

HIGHEST = 2**62


def encode(place: Place) -> str:
    """The place as a piece of an address."""
    text = json.dumps([place.rank, place.received_at.isoformat(), place.id])
    return base64.urlsafe_b64encode(text.encode()).decode().rstrip("=")


def decode(text: str) -> Place | None:
    """The place in an address; None for one that isn't ours (the list then starts at its top)."""
    try:
        rank, received_at, number = json.loads(base64.urlsafe_b64decode(text + "=" * (-len(text) % 4)))
        moment = datetime.fromisoformat(received_at)
    except (ValueError, TypeError, binascii.Error):
        return None
    whole = isinstance(rank, int) and isinstance(number, int) and moment.tzinfo is not None
    return Place(rank, moment, number) if whole and abs(number) < HIGHEST else None
