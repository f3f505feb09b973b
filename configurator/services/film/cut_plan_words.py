"""The words of a cut plan in a reader's language."""

from configurator.domain.film_plan.records import Piece, RollPlan
from configurator.drawing.cut_plan_labels import CutPlanLabels
from configurator.wording.words import Words


def roll_heading(roll: RollPlan, words: Words) -> str:
    """Film, width of the roll, which one where the shop keeps track, and metres to take off it."""
    facts = {
        "film": words.name("film", roll.film),
        "width": _millimetres(roll.roll_width_mm, words),
        "length": _metres(roll.length_mm / 1000, words),
        "stock": roll.stock,
    }
    if roll.stock:
        return words.gettext("%(film)s, roll %(stock)s of %(width)s: take off %(length)s") % facts
    return words.gettext("%(film)s, roll of %(width)s: take off %(length)s") % facts


def cut_plan_labels(
    roll: RollPlan, words: Words, *, place: tuple[int, int] = (1, 1), job: str | None = None, body: str | None = None
) -> CutPlanLabels:
    """Every word on the cut plan of one roll, `place` (number, of how many) in the plan.

    `job` says whose film it is (default: the car's body style); `body` chooses the names of panels that differ by body style.
    """
    pieces = [placement.piece for placement in roll.placements]
    return CutPlanLabels(
        heading=roll_heading(roll, words),
        job=job or (words.name("body", body) if body else ""),
        summary=_summary(roll, words),
        pieces={piece.id: piece_title(piece, words, body=body) for piece in pieces},
        cut=words.gettext("cut line"),
        fold=words.gettext("panel's own edge"),
        turn_in=words.gettext("turned round the edge"),
        seam=words.gettext("butted to another piece"),
        spare=words.gettext("spare film"),
        recesses=words.gettext("recesses by hand"),
        keep=lambda size: words.gettext("keep %(size)s") % {"size": size},
        toward_nose=words.gettext("toward the car's nose"),
        roll_runs=words.gettext("roll runs this way"),
        keeps_direction=words.gettext("This film has a direction: turn pieces end for end only.") if pieces[0].directional else None,
        scale=lambda times: words.gettext("Drawn at 1:%(times)s, to find pieces by, not to cut from.") % {"times": words.number(times, 0)},
        control_bar=words.gettext("%(length)s when printed at 100 %%") % {"length": words.length(50)},
        size=lambda along, across: f"{words.number(along, 0)} × {words.number(across, 0)}",
        size_column=words.gettext("along × across, mm"),
        position_column=words.gettext("at, mm"),
        metres=lambda metres: words.number(metres, 1),
        millimetres=lambda mm: words.number(mm, 0),
        continues_at=lambda metres: words.gettext("continues in the next row at %(place)s") % {"place": _metres(metres, words)},
        continued_from=lambda metres: words.gettext("continued from %(place)s") % {"place": _metres(metres, words)},
        cut_off_at=lambda metres: words.gettext("cut off at %(place)s") % {"place": _metres(metres, words)},
        sheet_of=lambda sheet, sheets: (
            words.gettext("roll %(roll)s of %(rolls)s, sheet %(sheet)s of %(sheets)s")
            % {"roll": place[0], "rolls": place[1], "sheet": sheet, "sheets": sheets}
        ),
    )


def _summary(roll: RollPlan, words: Words) -> str:
    used = {"pieces": len(roll.placements), "area": words.area(roll.piece_area_m2), "share": words.percent(1 - roll.waste_share)}
    count = words.ngettext("%(pieces)s piece", "%(pieces)s pieces", len(roll.placements)) % used
    said = words.gettext("%(count)s, %(area)s to lay; %(share)s of the film ends up on the car") % {**used, "count": count}
    if roll.left_mm is None:
        return said
    rest = _metres(max(roll.left_mm - roll.length_mm, 0.0) / 1000, words)
    return words.gettext("%(summary)s; %(rest)s stays on the roll") % {"summary": said, "rest": rest}


def piece_title(piece: Piece, words: Words, *, body: str | None = None) -> str:
    """What a piece goes on: `Hood`, `Roof, piece 2`, `Hood, stripe 1`."""
    facts = {"panel": words.name("panel", piece.panel, body=body), "number": piece.number}
    if piece.role == "stripe":
        return (words.gettext("%(panel)s, stripe %(number)s") if piece.number else words.gettext("%(panel)s, stripe")) % facts
    if piece.role == "border":
        return (words.gettext("%(panel)s, border %(number)s") if piece.number else words.gettext("%(panel)s, border")) % facts
    return (words.gettext("%(panel)s, piece %(number)s") if piece.number else "%(panel)s") % facts


def _metres(metres: float, words: Words) -> str:
    return words.gettext("%(metres)s m") % {"metres": words.number(metres, 2)}


def _millimetres(mm: float, words: Words) -> str:
    return words.gettext("%(mm)s mm") % {"mm": words.number(mm, 0)}
