"""Cut plans as files: sheets to print and outlines at true size."""

from pathlib import Path

from configurator.domain.film_plan.records import FilmPlan
from configurator.drawing.outline_export import roll_as_dxf, roll_as_svg
from configurator.services.cut_plans import cut_plan
from configurator.wording.words import Words


def write_cut_plans(plan: FilmPlan, folder: Path, words: Words, *, body: str | None = None) -> list[Path]:
    """Writes sheets and outlines (SVG and DXF, true size) of every roll into `folder`; returns the files. Raises OSError."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for drawn, roll in zip(cut_plan(plan, words, body=body).rolls, plan.rolls, strict=True):
        name = f"{drawn.number:02d}-{roll.film}-{roll.roll_width_mm:g}"
        files = {f"{name}-sheet-{place}.svg": sheet.encode() for place, sheet in enumerate(drawn.sheets, start=1)}
        files[f"{name}-outlines.svg"] = roll_as_svg(roll).encode()
        files[f"{name}-outlines.dxf"] = roll_as_dxf(roll)
        for file, content in files.items():
            (folder / file).write_bytes(content)
            written.append(folder / file)
    return written
