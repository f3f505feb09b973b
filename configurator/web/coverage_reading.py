"""A coverage record put into words: for the private page, the staff, and paper."""

from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from configurator.domain.bay.coverage import Coverage, CoveredPanel
from configurator.domain.desk import Request
from configurator.services.bay.drawings import drawing
from configurator.services.bay.scoped import CannotBeMade
from configurator.web.i18n import words
from configurator.web.request_reading import car_name, sentence, shop_time
from configurator.web.wiring import wired
from configurator.wording.words import Words


@dataclass(frozen=True)
class RecordRow:
    """One panel, lamp or pane that is covered. `films` with their batches, a line each."""

    number: int
    id: str
    name: str
    films: tuple[tuple[str, str], ...]
    edges: str
    note: str
    until: str


@dataclass(frozen=True)
class WarrantyRow:
    what: str
    by: str
    start: str
    until: str


@dataclass(frozen=True)
class CareRow:
    when: str
    do: str
    leave: str


@dataclass(frozen=True)
class RecordReading:
    """The record in the language of the page at hand."""

    reference: str
    car: str
    handed_over: str
    day: str
    fitted_by: str
    parts_by: str
    checked_by: str
    received_by: str
    rows: tuple[RecordRow, ...]
    left_out: tuple[tuple[str, str], ...]
    warranties: tuple[WarrantyRow, ...]
    care: tuple[CareRow, ...]
    checks: tuple[str, ...]
    seams: str
    cautions: tuple[tuple[str, str], ...]
    drawing: Markup | None


def read_record(request: Request, record: Coverage) -> RecordReading:
    """Everything of a record that a page or a paper shows."""
    say = words()
    at = shop_time(record.handed_over)
    return RecordReading(
        reference=record.reference,
        car=car_name(request, say),
        handed_over=say.datetime(at, "full"),
        day=say.date(at.date()),
        fitted_by=say.list(record.fitted_by),
        parts_by=say.list(record.parts_by),
        checked_by=record.checked_by,
        received_by=record.received_by,
        rows=tuple(_row(panel, record, say) for panel in record.panels),
        left_out=tuple((say.name("panel", one.panel, body=record.body), one.reason) for one in record.left_out),
        warranties=tuple(_warranties(record, say)),
        care=tuple(_care(record, say)),
        checks=tuple(say.date(day, "full") for day in record.care.checks),
        seams=_seams(record, say),
        cautions=tuple((_place(caution.where, record, say), sentence(caution.message, say)) for caution in record.cautions),
        drawing=_drawing(record, say),
    )


def _row(panel: CoveredPanel, record: Coverage, say: Words) -> RecordRow:
    notes = [say.gettext("part of the panel")] if panel.is_part else []
    if panel.remade:
        notes.append(say.ngettext("cut again %(num)s time", "cut again %(num)s times", panel.remade) % {"num": say.number(panel.remade)})
    return RecordRow(
        number=panel.number,
        id=panel.panel,
        name=say.name("panel", panel.panel, body=record.body),
        films=tuple((say.name("film", film.film), ", ".join(film.batches)) for film in panel.films),
        edges=say.list([say.name("treatment", treatment) for treatment in panel.treatments]),
        note=say.list(notes) if notes else "",
        until=say.date(panel.warranty_until, "medium"),
    )


def _warranties(record: Coverage, say: Words) -> Iterator[WarrantyRow]:
    for one in record.warranties:
        what = say.gettext("%(film)s: yellowing, cracking, peeling") % {"film": say.name("film", one.film)}
        yield WarrantyRow(
            what, say.gettext("the film's maker, as on its card"), say.date(one.start, "medium"), say.date(one.until, "medium")
        )
    shop, start = wired().shop.book.shop.name, shop_time(record.handed_over).date()
    what = say.gettext("Fitting: edges, seams, parts that were off")
    yield WarrantyRow(what, shop, say.date(start, "medium"), say.date(record.fitting_until, "medium"))


def _care(record: Coverage, say: Words) -> Iterator[CareRow]:
    care = record.care
    yield CareRow(
        say.gettext("Until %(at)s") % {"at": say.datetime(shop_time(care.dry_until), "weekday")},
        say.gettext("Keep it dry. Small water marks and a slight haze are usual and go away."),
        say.gettext("No washing. Don't press or pick at an edge."),
    )
    yield CareRow(
        say.gettext("Until %(day)s") % {"day": say.date(care.by_hand_until, "weekday")},
        say.gettext("Wash by hand only, with lukewarm water and a soft mitt."),
        say.gettext("No brushes, no pressure washer."),
    )
    yield CareRow(
        say.gettext("After that"),
        say.gettext(
            "Wash every two weeks. Soak off insects, sap and droppings the same day. Keep a pressure washer 30 cm away and never "
            "straight at an edge."
        ),
        say.gettext("No polish or wax on matte film. No solvent or tar remover without asking us. No hot wax on matte film."),
    )


def _seams(record: Coverage, say: Words) -> str:
    if not record.seams:
        return ""
    facts = {"num": say.number(record.seams), "metres": say.number(record.seam_mm / 1000, 2)}
    return say.ngettext("%(num)s butt seam, %(metres)s m.", "%(num)s butt seams, %(metres)s m in all.", record.seams) % facts


def _place(where: str | None, record: Coverage, say: Words) -> str:
    if where is None:
        return ""
    kind = "lamp" if where in ("headlamps", "fog_lamps", "tail_lamps", "windshield") else "panel"
    return say.name(kind, where, body=record.body)


def _drawing(record: Coverage, say: Words) -> Markup | None:
    try:
        svg = drawing(record.selection, wired().shop, say, "sheet", numbers=record.numbers, bare=record.bare, prefix="record")
    except CannotBeMade:
        return None
    return Markup(svg)  # noqa: S704 - our own drawing, every text in it escaped by svgwrite
