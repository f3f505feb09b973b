"""The cut plan of a job as data for pages and papers: rolls with their drawings, pieces by number, and where pieces meet."""

from dataclasses import dataclass

import numpy as np

from configurator.domain.film_plan.records import FilmPlan, Placement, RollPlan
from configurator.domain.film_plan.spares import Spare, spare_rectangles
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.drawing.cut_plan import draw_cut_plan
from configurator.drawing.cut_plan_labels import CutPlanLabels
from configurator.drawing.cut_plan_layout import A4, Sheet, cutting_order, lay_out, left_mm, starting_in
from configurator.services.film.cut_plan_words import cut_plan_labels
from configurator.services.film.film_planning import plan_film
from configurator.wording.words import Words

FINISH, SPLIT = "finish", "split"
"""Why two pieces of a panel are butted: two finishes meet there; or the panel is broader than the roll."""


@dataclass(frozen=True)
class ListedPiece:
    """A piece as the drawings number it. mm: `along` and `across` the roll as it lies, `at` where it begins from the roll's free end."""

    number: int
    id: str
    title: str
    panel: str
    film: str
    role: str
    """base, stripe, border, lamp or windshield."""
    sheet: int
    """The sheet of its roll on which it begins, from 1."""
    along_mm: float
    across_mm: float
    at_mm: float
    recesses: int


@dataclass(frozen=True)
class CutRoll:
    """One run of film off one roll. `sheets`: its drawing as SVG documents in millimetres of paper, ids unique within the plan."""

    number: int
    film: str
    heading: str
    """Film, width and metres to take off, in the reader's language."""
    roll_width_mm: float
    length_mm: float
    waste_share: float
    stock: str | None
    """Which of the shop's own rolls, where it keeps track of them."""
    left_mm: float | None
    """What was on that roll before."""
    offcuts: tuple[Spare, ...]
    """Rectangles left over that are worth keeping."""
    sheets: tuple[str, ...]
    pieces: tuple[ListedPiece, ...]


@dataclass(frozen=True)
class PieceReference:
    """Where a piece is found in the drawings: number of the roll and of the piece on it."""

    roll: int
    number: int
    title: str


@dataclass(frozen=True)
class PanelSeam:
    """A line on a panel along which two pieces are butted; `kind` is `finish` or `split`, `length_mm` as it shows on the car."""

    panel: str
    kind: str
    length_mm: float
    first: PieceReference
    second: PieceReference


@dataclass(frozen=True)
class CutPlan:
    """`planner` and `note` as in the film plan. `seams`: panel by panel, in the order of the rolls."""

    planner: str
    note: str | None
    rolls: tuple[CutRoll, ...]
    seams: tuple[PanelSeam, ...]

    @property
    def jointed_panels(self) -> tuple[str, ...]:
        """Panels of more than one piece, each once."""
        return tuple(dict.fromkeys(seam.panel for seam in self.seams))


def cut_plan_for(
    shop: Shop, selection: Selection, words: Words, *, deep: bool = False, seconds: float = 20.0, sheet: Sheet = A4
) -> CutPlan:
    """The cut plan of a selection; see `plan_film` for `deep`, `seconds` and the errors raised.

    A deep plan may come out differently the next time: keep it (`wire.film_plan.kept_film_plan`) and use `cut_plan`.
    """
    return cut_plan(plan_film(shop, selection, deep=deep, seconds=seconds), words, body=selection.vehicle.body, sheet=sheet)


def cut_plan(plan: FilmPlan, words: Words, *, body: str | None = None, job: str | None = None, sheet: Sheet = A4) -> CutPlan:
    """`plan` drawn and listed for a reader.

    `body` chooses the names of panels that differ by body style; `job` (a reference) is printed on every sheet in place of its name.
    """
    count = len(plan.rolls)
    rolls = tuple(
        _roll(roll, number, cut_plan_labels(roll, words, place=(number, count), job=job, body=body), sheet)
        for number, roll in enumerate(plan.rolls, start=1)
    )
    return CutPlan(planner=plan.planner, note=plan.note, rolls=rolls, seams=_seams(plan, rolls))


def _roll(roll: RollPlan, number: int, labels: CutPlanLabels, sheet: Sheet) -> CutRoll:
    sheet_of = {
        placement.piece.id: place
        for place, rows in enumerate(lay_out(roll, sheet).sheets, start=1)
        for placement in starting_in(roll, rows)
    }
    return CutRoll(
        number=number,
        film=roll.film,
        heading=labels.heading,
        roll_width_mm=roll.roll_width_mm,
        length_mm=roll.length_mm,
        waste_share=roll.waste_share,
        stock=roll.stock,
        left_mm=roll.left_mm,
        offcuts=spare_rectangles(roll),
        sheets=tuple(draw_cut_plan(roll, labels, sheet=sheet, name=f"roll-{number}")),
        pieces=tuple(
            _listed(placement, index, sheet_of[placement.piece.id], labels) for index, placement in enumerate(cutting_order(roll), start=1)
        ),
    )


def _listed(placement: Placement, number: int, sheet: int, labels: CutPlanLabels) -> ListedPiece:
    piece = placement.piece
    along, across = np.ptp(placement.placed(piece.cut), axis=0)
    return ListedPiece(
        number=number,
        id=piece.id,
        title=labels.pieces[piece.id],
        panel=piece.panel,
        film=piece.film,
        role=piece.role,
        sheet=sheet,
        along_mm=float(along),
        across_mm=float(across),
        at_mm=left_mm(placement),
        recesses=piece.recesses,
    )


def _seams(plan: FilmPlan, rolls: tuple[CutRoll, ...]) -> tuple[PanelSeam, ...]:
    """Every joint once, from the piece whose id comes first."""
    references = {piece.id: PieceReference(roll.number, piece.number, piece.title) for roll in rolls for piece in roll.pieces}
    pieces = {placement.piece.id: placement.piece for roll in plan.rolls for placement in roll.placements}
    seams = [
        PanelSeam(
            panel=piece.panel,
            kind=SPLIT if piece.role == pieces[joint.piece].role else FINISH,
            length_mm=joint.length_mm,
            first=references[piece.id],
            second=references[joint.piece],
        )
        for piece in pieces.values()
        for joint in piece.joints
        if piece.id < joint.piece
    ]
    order = {panel: index for index, panel in enumerate(dict.fromkeys(piece.panel for piece in pieces.values()))}
    return tuple(sorted(seams, key=lambda seam: (order[seam.panel], seam.first.roll, seam.first.number, seam.second.number)))
