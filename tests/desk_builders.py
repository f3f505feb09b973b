"""Small made-up things for tests of the desk: defaults that hold together, overrides by name."""

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import Any, cast

from configurator.domain.body.records import Body, EdgeKind
from configurator.domain.desk import NewRequest
from configurator.domain.estimate import Caution, Driver, Estimate, Line, PriceRange
from configurator.domain.film_plan.records import FilmUse
from configurator.domain.kept_estimate import KeptEstimate, KeptPanel, KeptPart, KeptStay
from configurator.domain.light import LampLight, LightStatus
from configurator.domain.message import Message
from configurator.domain.review import CarWords, Contact, RequestDraft
from configurator.domain.scope import Scope, TreatedEdge
from configurator.domain.selection import Package, Selection, Treatment, Vehicle
from configurator.domain.timeline import Stay, Timeline
from configurator.services.links import new_nonce, token_hash

NOON = datetime(2027, 3, 8, 17, 0, tzinfo=UTC)
"""Monday 8 March 2027, 12:00 in the demo shop's zone."""


HOOD_EDGE = TreatedEdge(EdgeKind.SHUT_LINE, 1480.0, Treatment.WRAPPED)
NO_FILM_ON_LIP = Message("textured_plastic", {"panel": "front_lip"})


def a_kept_estimate(**changes: Any) -> KeptEstimate:
    """A full front that adds up: typical 2000.00."""
    values: dict[str, Any] = {
        "price_book": "test-1",
        "price": PriceRange("USD", Decimal("1800.00"), Decimal("2000.00"), Decimal("2300.00"), "excluded", 0.8),
        "labour_hours": {"typical": 14.2, "high": 17.8},
        "typical": KeptStay(datetime(2027, 3, 15, 12, 30, tzinfo=UTC), datetime(2027, 3, 16, 20, 0, tzinfo=UTC), 15.5, 2),
        "high": KeptStay(datetime(2027, 3, 15, 12, 30, tzinfo=UTC), datetime(2027, 3, 17, 16, 0, tzinfo=UTC), 19.0, 2),
        "panels": (
            KeptPanel("hood", True, 1.62, 1.62, "gloss_paint", "gloss", "gloss-clear", (HOOD_EDGE,), 0.0, 0.03, None),
            KeptPanel("front_lip", False, 0.2, 0.0, "textured_plastic", None, None, (), 0.0, 0.2, NO_FILM_ON_LIP),
        ),
        "film": (FilmUse("gloss-clear", 1524.0, 9.42, 14, 10.1),),
        "parts": (KeptPart("badge_front", "badge", "hood", "assembler", 20.0),),
        "light": (),
        "lines": (
            Line("film", Decimal("700.00"), Decimal("720.50"), Decimal("760.00"), Message("line_film", {"length_m": 9.42})),
            Line("labour", Decimal("1000.00"), Decimal("1265.00"), Decimal("1500.00"), Message("line_labour", {"hours": 11.5})),
            Line("rounding", Decimal("0.00"), Decimal("14.50"), Decimal("0.00"), Message("line_rounding", {"step": Decimal("25")})),
        ),
        "drivers": (Driver("labour", 0.7), Driver("film", 0.3)),
        "cautions": (Caution("textured_plastic", "care", "front_lip", NO_FILM_ON_LIP, None),),
        "assumptions": (Message("typical_size", {}),),
    }
    return KeptEstimate(**{**values, **changes})


def a_new_request(number: int = 1, **changes: Any) -> NewRequest:
    """A request as the submit service would keep it."""
    nonce = new_nonce()
    values: dict[str, Any] = {
        "reference": f"TST-{number:05d}",
        "link_nonce": nonce,
        "link_hash": token_hash(nonce),
        "received_at": NOON + timedelta(minutes=number),
        "answer_due": NOON + timedelta(days=1, minutes=number),
        "contact": Contact(f"Mara Ellison {number}", f"mara{number}@ellison.example", "+12025550123", None, "en_US"),
        "car": CarWords("Silver coupe", "silver", "ABC 123", ""),
        "dates": (date(2027, 3, 15), date(2027, 3, 16)),
        "notes": "",
        "acknowledged": frozenset(),
        "consents": {"privacy": True},
        "source": "",
        "locale": "en_US",
        "selection": {"version": 1, "vehicle": {"body": "coupe"}},
        "body": "coupe",
        "package": "full_front",
        "region": "us",
        "edges": "wrapped",
        "estimate": a_kept_estimate(),
        "idempotency_key": None,
        "fingerprint": "f" * 64,
    }
    return NewRequest(**{**values, **changes})


def a_selection(**changes: Any) -> Selection:
    """A coupe with full front, resolved as far as the desk looks at it."""
    values: dict[str, Any] = {"vehicle": Vehicle(body="coupe"), "package": Package.FULL_FRONT, "region": "us"}
    return Selection(**{**values, **changes})


def an_estimate(selection: Selection | None = None, **changes: Any) -> Estimate:
    """An estimate without a body: enough for what the desk keeps of it. Figures as in `a_kept_estimate`."""
    kept = a_kept_estimate()
    values: dict[str, Any] = {
        "selection": selection or a_selection(),
        "body": cast(Body, None),
        "price_book": "test-1",
        "scope": Scope({}, (), None, ()),
        "film": kept.film,
        "operations": (),
        "timeline": Timeline(
            Stay(datetime(2027, 3, 15, 12, 30, tzinfo=UTC), datetime(2027, 3, 16, 20, 0, tzinfo=UTC), 930.0, 2, ()),
            Stay(datetime(2027, 3, 15, 12, 30, tzinfo=UTC), datetime(2027, 3, 17, 16, 0, tzinfo=UTC), 1140.0, 2, ()),
        ),
        "price": kept.price,
        "labour_hours": kept.labour_hours,
        "light": (),
        "lines": kept.lines,
        "drivers": kept.drivers,
        "cautions": kept.cautions,
        "assumptions": kept.assumptions,
    }
    return Estimate(**{**values, **changes})


def a_lamp(lamp: str = "tail_lamps", status: LightStatus = LightStatus.LIKELY_NOT_ROAD_LEGAL) -> LampLight:
    return LampLight(lamp, "smoke_medium", 0.35, 0.3, 0.1225, 2.857, status, ())


def a_draft(**changes: Any) -> RequestDraft:
    """What a visitor sends."""
    values: dict[str, Any] = {
        "selection": a_selection(),
        "contact": Contact("Mara Ellison", "Mara@Ellison.example", "(202) 555-0123", None, "en_US"),
        "price_book": "test-1",
        "car": CarWords("Silver coupe", "silver", "ABC 123", ""),
        "dates": (date(2027, 3, 15),),
        "notes": "Please keep the stripes matte.",
    }
    return RequestDraft(**{**values, **changes})
