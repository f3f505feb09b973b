"""What must hold between the figures of a price book, beyond each being sound by itself."""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from configurator.domain.body.records import EdgeKind
from configurator.domain.money import smallest_unit
from configurator.domain.price_book import PackageRule, PriceBook
from configurator.domain.selection import LAMP_GROUPS, LampFilm, Package, Treatment
from configurator.domain.work import Role
from configurator.loading.reading import Node

PACKAGE_ORDER = tuple(Package)[1:]


def check_consistency(book: PriceBook, root: Node) -> None:
    """Put a fault on the book's document for each contradiction."""
    _check_films(book, root)
    _check_roles(book, root)
    _check_parts(book, root)
    _check_times(book, root)
    _check_money(book, root)
    _check_packages(book, root)


def _at(root: Node, path: str) -> Node:
    return Node(None, path, root.faults)


def _check_films(book: PriceBook, root: Node) -> None:
    """A film for the paint to be matched with, every lamp grade, a windshield film, one film per name, rolls in the drawer."""
    for finish in ("gloss", "matte"):
        if finish not in book.finishes:
            _at(root, "films").fault("no_film_for_finish", finish=finish)
    grades = [film.lamp_grade for film in book.films.values() if film.kind == "lamp"]
    finishes = list(book.finishes)
    for film in book.films.values():
        if not film.rolls or len({roll.width_mm for roll in film.rolls}) < len(film.rolls):
            _at(root, f"films.{film.id}.rolls").fault("no_rolls" if not film.rolls else "same_width_twice")
        if (film.kind == "body" and finishes.count(film.finish) > 1) or (film.kind == "lamp" and grades.count(film.lamp_grade) > 1):
            _at(root, f"films.{film.id}").fault("two_films_alike")
    for grade in tuple(LampFilm)[1:]:
        if grade not in grades:
            _at(root, "films").fault("no_lamp_film", grade=grade)
    if [film.kind for film in book.films.values()].count("windshield") != 1:
        _at(root, "films").fault("not_one_windshield_film")


def _check_roles(book: PriceBook, root: Node) -> None:
    """Somebody for every role that the work needs, in on some day on which the shop is open."""
    open_days = {span.weekday for span in book.hours.open}
    for role in Role:
        days = {day for person in book.hours.people if role in person.roles for day in person.weekdays}
        if not days & open_days:
            _at(root, "hours.people").fault("nobody_for_role", role=role)
    names = [person.name for person in book.hours.people]
    for name in sorted({name for name in names if names.count(name) > 1}):
        _at(root, "hours.people").fault("same_name_twice", name=name)


def _check_parts(book: PriceBook, root: Node) -> None:
    for part in book.parts.values():
        for other in part.after:
            if other not in book.parts or other == part.part:
                _at(root, f"parts.catalogue.{part.part}.after").fault("unknown_part", part=other)
            elif book.parts[other].after:
                _at(root, f"parts.catalogue.{part.part}.after").fault("chain_of_parts", part=other)


def _check_times(book: PriceBook, root: Node) -> None:
    """The cautious plan is the longer one; a better hidden edge never takes less time or film; no piece shrinks to nothing."""
    time, cutting = book.time, book.cutting
    if not time.k90 > time.k50:
        _at(root, "time.k90").fault("not_above", other="time.k50")
    for path, table in (("time.film.edge_m", time.film.edge_m), ("cutting.allowance", cutting.allowance_mm)):
        for kind in EdgeKind:
            if not table[Treatment.TRIMMED][kind] <= table[Treatment.WRAPPED][kind] <= table[Treatment.HIDDEN][kind]:
                _at(root, f"{path}.{kind}").fault("edges_out_of_order")
    for kind in EdgeKind:
        if cutting.margin_mm + cutting.allowance_mm[Treatment.TRIMMED][kind] < 0:
            _at(root, f"cutting.allowance.{kind}.trimmed").fault("setback_beyond_margin")


def _check_money(book: PriceBook, root: Node) -> None:
    step = book.rates.step
    if step <= 0:
        _at(root, "rates.step").fault("not_positive")
    elif step % smallest_unit(book.currency) != 0:
        _at(root, "rates.step").fault("not_in_currency_units", unit=smallest_unit(book.currency))
    elif book.rates.minimum % step != 0:
        _at(root, "rates.minimum").fault("not_a_multiple_of_step", step=step)
    for name in ("shown", "shown_to_business"):
        if getattr(book.tax, name) == "included" and book.tax.rate is None:
            _at(root, f"tax.{name}").fault("no_rate_for_included_tax")


def _check_packages(book: PriceBook, root: Node) -> None:
    """Each package takes in the one before: partial front, full front, track, full body."""
    for smaller, larger in pairwise(PACKAGE_ORDER):
        for left_out in (*_panels_left_out(book, smaller, larger), *_lamps_left_out(book, smaller, larger)):
            _at(root, f"packages.{larger}").fault("smaller_package_not_taken_in", package=smaller, left_out=left_out)


def _panels_left_out(book: PriceBook, smaller: Package, larger: Package) -> Iterator[str]:
    """Panels of the smaller package that the larger covers less of, or not at all."""
    small, large = book.packages[smaller], book.packages[larger]
    if large.whole_body:
        return
    if small.whole_body:
        yield "whole_body"
    yield from (panel for panel in small.panels if panel not in large.panels)
    yield from _depths_left_out(small.strips, large.strips, large)
    yield from _depths_left_out(small.below_arch, large.below_arch, large)


def _depths_left_out(small: Mapping[str, float], large: Mapping[str, float], rule: PackageRule) -> Iterator[str]:
    for panel, depth in small.items():
        if panel not in rule.panels and large.get(panel, 0.0) < depth:
            yield panel


def _lamps_left_out(book: PriceBook, smaller: Package, larger: Package) -> Iterator[str]:
    """Lamp groups that the smaller package covers by default in some region and the larger doesn't."""
    for region in book.regions:
        small, large = (book.packages[package].lamps_in(region) for package in (smaller, larger))
        for group in LAMP_GROUPS:
            none = LampFilm.NONE
            if small.get(group, none) is not none and large.get(group, none) is none:
                yield f"{group} ({region})"
