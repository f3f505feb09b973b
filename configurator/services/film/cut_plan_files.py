"""Cut plans as files: sheets to print, outlines at true size."""

from contextlib import suppress
from pathlib import Path

from configurator.domain.film_plan.records import FilmPlan
from configurator.drawing.cut_plan_layout import A4_PAPER, Paper
from configurator.drawing.outline_export import roll_as_dxf, roll_as_svg
from configurator.services.film.cut_plans import CutPlan, cut_plan
from configurator.services.film.sheets_pdf import PdfLibrariesMissing, sheets_as_pdf
from configurator.wording.words import Words

PDF_NAME = "cut-plan.pdf"


def cut_plan_pdf(plan: FilmPlan, words: Words, *, body: str | None = None, job: str | None = None, paper: Paper = A4_PAPER) -> bytes:
    """The cut plan of every roll as one PDF, a sheet a page. Raises PdfLibrariesMissing."""
    return _bound(cut_plan(plan, words, body=body, job=job, sheet=paper.sheet), words, paper, job or "")


def write_cut_plans(
    plan: FilmPlan, folder: Path, words: Words, *, body: str | None = None, paper: Paper = A4_PAPER
) -> tuple[list[Path], bool]:
    """Writes sheets (SVG, and one PDF of them all) and outlines (SVG and DXF, true size) of every roll into `folder`.

    Returns the files, and whether the PDF is among them: where its libraries are missing the sheets can be printed. Raises OSError.
    """
    drawn = cut_plan(plan, words, body=body, sheet=paper.sheet)
    files: dict[str, bytes] = {}
    for roll, planned in zip(drawn.rolls, plan.rolls, strict=True):
        name = f"{roll.number:02d}-{roll.film}-{roll.roll_width_mm:g}"
        files |= {f"{name}-sheet-{place}.svg": sheet.encode() for place, sheet in enumerate(roll.sheets, start=1)}
        files[f"{name}-outlines.svg"] = roll_as_svg(planned).encode()
        files[f"{name}-outlines.dxf"] = roll_as_dxf(planned)
    with suppress(PdfLibrariesMissing):
        files[PDF_NAME] = _bound(drawn, words, paper, "")
    folder.mkdir(parents=True, exist_ok=True)
    for file, content in files.items():
        (folder / file).write_bytes(content)
    return [folder / file for file in files], PDF_NAME in files


def _bound(drawn: CutPlan, words: Words, paper: Paper, job: str) -> bytes:
    sheets = [sheet for roll in drawn.rolls for sheet in roll.sheets]
    title = words.gettext("Cut plan") + (f" {job}" if job else "")
    return sheets_as_pdf(sheets, title=title, language=words.language_tag, paper=paper)
