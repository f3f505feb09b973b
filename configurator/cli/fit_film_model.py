"""Fits the live film figure to placed plans of the real bodies, and finds orders of pieces that nest well.

`python -m configurator.cli.fit_film_model --made 2026-11-25` writes `data/film_model.yaml` and `data/film_orders.yaml`. Needs the
development requirements (scipy's non-negative least squares) and some minutes; the same code and date give the same files.
"""

import argparse
import random
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from configurator.domain import estimating
from configurator.domain.film_plan.live import least_length_mm
from configurator.domain.film_plan.nesting import nest
from configurator.domain.film_plan.pieces import pieces
from configurator.domain.film_plan.records import Piece
from configurator.domain.film_plan.starting_orders import KnownOrder
from configurator.domain.price_book import PriceBook
from configurator.domain.shop import Shop
from configurator.loading.film_model import FILM_MODEL_FILE
from configurator.loading.film_orders import FILM_ORDERS_FILE
from configurator.loading.shop import load_shop
from configurator.wire.selection import load_selection

WIDTHS_MM = (1524.0, 1220.0)
MARGINS_MM = (12.0, 20.0, 30.0)
PACKAGES = ("partial_front", "full_front", "track", "full_body")
TREATMENTS = ("trimmed", "wrapped", "hidden")
RANDOM_CHOICES = 6
SHORT_MM = 2000.0
"""Plans shorter than this count as if they were so long: a hand's breadth on two door handles is no error of half the job."""
STEPS = 600_000
"""Work for one placed plan: about a second, within a few per cent of what the nesting solver finds in five."""
ORDER_STEPS = 6_000_000

MODEL_HEAD = """# Metres of film while the visitor clicks: fitted lengths per way of cutting, roll width and margin.
# length = max(start + (per_area A + per_box B + per_broad_area A where broader than half the roll) / width, longest piece, area / width)
# error_sd, error_worst: relative, of each body's plans against a fit to the other seven bodies.
# Made by `python -m configurator.cli.fit_film_model`; not to be edited by hand.
"""
ORDERS_HEAD = """# Orders of pieces that nest well, per body style: where the quick planner starts to look.
# Pieces that a selection hasn't are passed over;
# `^` before a piece: it is laid toward the roll's far edge.
# Made by `python -m configurator.cli.fit_film_model`; not to be edited by hand.
"""


Factors = tuple[float, float, float, float]


@dataclass(frozen=True)
class Sample:
    """One placed plan: whose body, what the model may know of its pieces, and the length that was needed."""

    body: str
    terms: Factors
    least_mm: float
    """The longest piece, or what the area of all needs: the model never says less."""
    length_mm: float

    @property
    def weight_mm(self) -> float:
        return max(self.length_mm, SHORT_MM)


def main(arguments: Sequence[str]) -> int:
    """Fits, searches, writes both files."""
    parser = argparse.ArgumentParser(prog="fit_film_model", description=__doc__)
    parser.add_argument("--made", required=True, metavar="DATE", help="date that goes into the files")
    parser.add_argument("--only", choices=("model", "orders"), help="write one of the two files only")
    given = parser.parse_args(arguments)
    shop = load_shop()
    if given.only != "model":
        FILM_ORDERS_FILE.write_text(_orders_text(shop, given.made), encoding="utf-8")
    if given.only != "orders":
        FILM_MODEL_FILE.write_text(_model_text(shop, given.made), encoding="utf-8")
    print(*(path.relative_to(Path.cwd()) for path in (FILM_MODEL_FILE, FILM_ORDERS_FILE)), sep="\n")
    return 0


# -- the model


def _model_text(shop: Shop, made: str) -> str:
    rows = []
    for way, margin in [*(("nested", margin) for margin in MARGINS_MM), ("bulk", 20.0)]:
        book = replace(shop.book, cutting=replace(shop.book.cutting, way=way, margin_mm=margin))
        cut = list(_cut_everything(replace(shop, book=book)))
        for width in WIDTHS_MM:
            samples = [sample for body, made_of in cut if (sample := _sample(body, made_of, width))]
            rows.append(_row(way, width, margin, samples))
            print(rows[-1], file=sys.stderr, flush=True)
    method = (
        f"Non-negative least squares, weighted by 1 / length (at least 2 m), on quick plans of {STEPS} steps: eight bodies at "
        f"typical size, four packages by three edge treatments and {RANDOM_CHOICES} random choices each; errors leave one body out."
    )
    return f'{MODEL_HEAD}fitted: {made}\nmethod: "{method}"\nrows:\n' + "".join(f"  - {row}\n" for row in rows)


def _cut_everything(shop: Shop) -> Iterator[tuple[str, list[Piece]]]:
    """(body, pieces of the clear film) of every choice."""
    for body in shop.styles:
        chances = random.Random(f"film {body}")  # noqa: S311  # a choice of samples, not a secret
        for document in _documents(body, shop, chances):
            made = [piece for piece in _pieces(document, shop, shop.book) if piece.film == "gloss-clear"]
            if made:
                yield body, made


def _documents(body: str, shop: Shop, chances: random.Random) -> Iterator[dict[str, object]]:
    for package in PACKAGES:
        for treatment in TREATMENTS:
            yield _document(body, edges=treatment, coverage={"package": package})
    whole = estimating.work(load_selection(_document(body, coverage={"package": "full_body"})), shop)
    names = [panel.id for panel in whole.scope.covered]
    for _ in range(RANDOM_CHOICES):
        some = sorted(chances.sample(names, chances.randint(2, len(names) - 1)))
        yield _document(body, edges=chances.choice(TREATMENTS), coverage={"add": some})


def _document(body: str, **more: object) -> dict[str, object]:
    return {"version": 1, "vehicle": {"body": body}, "lamps": {}, **more}


def _pieces(document: dict[str, object], shop: Shop, book: PriceBook) -> tuple[Piece, ...]:
    job = estimating.work(load_selection(document), shop)
    return pieces(job.scope, job.body, book)


def _sample(body: str, made: list[Piece], width_mm: float) -> Sample | None:
    """None where a piece is broader than the roll."""
    if any(piece.breadth_mm() > width_mm for piece in made):
        return None
    run = nest(made, width_mm, steps=STEPS)
    if run is None:
        return None
    least = max(*(least_length_mm(piece, width_mm) for piece in made), sum(piece.nest_area_mm2 for piece in made) / width_mm)
    return Sample(body, _terms(made, width_mm), least, run.length_mm)


def _terms(made: Iterable[Piece], width_mm: float) -> Factors:
    area = box = broad = 0.0
    for piece in made:
        along, across = piece.nest_box_mm
        area += piece.nest_area_mm2 / width_mm
        box += along * across / width_mm
        broad += piece.nest_area_mm2 / width_mm if min(along, across) > width_mm / 2 else 0.0
    return 1.0, area, box, broad


def _row(way: str, width_mm: float, margin_mm: float, samples: list[Sample]) -> str:
    factors = _fit(samples)
    misses = []
    for body in sorted({sample.body for sample in samples}):
        others = _fit([sample for sample in samples if sample.body != body])
        misses += [(_said(others, sample) - sample.length_mm) / sample.weight_mm for sample in samples if sample.body == body]
    start, area, box, broad = factors
    return (
        f"{{way: {way}, roll_width_mm: {width_mm:g}, margin_mm: {margin_mm:g}, start_mm: {start:.0f}, per_area: {area:.3f}, "
        f"per_box: {box:.3f}, per_broad_area: {broad:.3f}, error_sd: {np.std(misses):.3f}, error_worst: {np.abs(misses).max():.3f}}}"
    )


def _said(factors: Factors, sample: Sample) -> float:
    return max(float(np.dot(factors, sample.terms)), sample.least_mm)


def _fit(samples: list[Sample]) -> Factors:
    """Fitted twice: the second time without the plans whose length is that of their longest piece anyway."""
    first = _least_squares(samples)
    return _least_squares([sample for sample in samples if float(np.dot(first, sample.terms)) > sample.least_mm])


def _least_squares(samples: list[Sample]) -> Factors:
    from scipy.optimize import nnls  # a development requirement: only this script needs it

    weights = 1 / np.array([sample.weight_mm for sample in samples])
    terms = np.array([sample.terms for sample in samples]) * weights[:, None]
    factors, _ = nnls(terms, np.array([sample.length_mm for sample in samples]) * weights)
    start, area, box, broad = (float(factor) for factor in factors)
    return start, area, box, broad


# -- orders


def _orders_text(shop: Shop, made: str) -> str:
    lines = [f'{ORDERS_HEAD}made: {made}\nmethod: "Quick plans of {ORDER_STEPS} steps at typical size on the 1524 mm roll."\norders:\n']
    for body in shop.styles:
        lines.append(f"  {body}:\n")
        for order in _orders_of(body, shop):
            named = ", ".join(f'"{name}"' for name in order.pieces)
            lines.append(f"    - {{directional: {str(order.directional).lower()}, area_m2: {order.area_m2:.2f}, pieces: [{named}]}}\n")
    return "".join(lines)


def _orders_of(body: str, shop: Shop) -> list[KnownOrder]:
    """Of every package with every treatment on clear film; the whole body on film with a direction too."""
    asked = [("gloss", package, treatment) for package in ("full_body", "track", "full_front", "partial_front") for treatment in TREATMENTS]
    asked += [("matte", "full_body", treatment) for treatment in TREATMENTS]
    asked += [("matte", package, "wrapped") for package in ("track", "full_front", "partial_front")]
    orders: list[KnownOrder] = []
    for finish, package, treatment in asked:
        document = _document(body, edges=treatment, coverage={"package": package}, finish={"default": finish})
        made = [piece for piece in _pieces(document, shop, shop.book) if piece.film == f"{finish}-clear"]
        run = nest(made, WIDTHS_MM[0], orders=orders, steps=ORDER_STEPS if package == "full_body" else STEPS)
        if run and all(run.order != order.pieces for order in orders):
            orders.append(KnownOrder(run.order, sum(piece.nest_area_mm2 for piece in made) / 1e6, made[0].directional))
    return orders


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
