"""`film-plan`: the printed document judged by what it says alone, the files it writes, and a shop's own rolls."""

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import ezdxf
import pytest
from click.testing import CliRunner, Result

from configurator.cli import film_plans
from configurator.cli.film_plans import film_plan
from configurator.domain.film_plan.deep import DEEP_MISSING
from configurator.domain.film_plan.records import FilmPlan
from configurator.services.film import sheets_pdf
from tests.cli.film_judge import faults
from tests.shops import STYLES, TREATMENTS, chosen, estimated

STRIPED = {"count": 2, "width_mm": 240, "gap_mm": 110, "finish": "matte", "border": {"width_mm": 6, "finish": "gloss_black"}}


def run(document: dict[str, object], *options: str) -> Result:
    return CliRunner().invoke(film_plan, ["-", *options], input=json.dumps(document))


def selected(body: str, package: str, edges: str = "wrapped", **vehicle: object) -> dict[str, object]:
    return {"version": 1, "vehicle": {"body": body, **vehicle}, "coverage": {"package": package}, "edges": edges}


JUDGED = [
    *[selected(body, "full_body", TREATMENTS[index % 3], stripes=STRIPED) for index, body in enumerate(STYLES)],
    *[selected(body, "partial_front", TREATMENTS[index % 3]) for index, body in enumerate(STYLES)],
    selected("van", "full_body", "hidden", size={"height_mm": 2300, "length_mm": 5500, "wheelbase_mm": 3300}),
    selected("pickup", "track", "trimmed", features=["fender_flares", "fog_lamps", "hood_vents"]),
]


@pytest.mark.parametrize("document", JUDGED, ids=lambda document: f"{document['vehicle']['body']}-{document['coverage']['package']}")
def test_a_printed_plan_can_be_cut_and_covers_what_the_estimate_says(document: dict[str, object]) -> None:
    done = run(document)
    covered = {
        panel.id: panel.covered_area_m2
        for panel in estimated(
            chosen(
                document["vehicle"]["body"],  # type: ignore[index]
                document["coverage"]["package"],  # type: ignore[index]
                vehicle=document["vehicle"],
                edges=document["edges"],
            )
        ).scope.covered
    }

    assert done.exit_code == 0, done.stderr
    assert faults(json.loads(done.stdout), covered, directional={"matte-clear"}, gap_mm=2.0, margin_mm=22.0) == []


@pytest.fixture(scope="module")
def printed() -> str:
    return run(selected("coupe", "partial_front")).stdout


def _onto_another(roll: dict[str, Any]) -> None:
    (x0, y0), (x1, y1) = (piece["polygon"][0] for piece in roll["pieces"][:2])
    roll["pieces"][0]["polygon"] = [[x - x0 + x1, y - y0 + y1] for x, y in roll["pieces"][0]["polygon"]]


def _turn(roll: dict[str, Any]) -> None:
    roll["pieces"][0]["turned_deg"] = 90


def _shrink(roll: dict[str, Any]) -> None:
    roll["pieces"][0]["polygon"] = [[x * 0.8, y * 0.8] for x, y in roll["pieces"][0]["polygon"]]


SPOILT: list[tuple[Callable[[dict[str, Any]], object], str]] = [
    (_onto_another, "too close"),
    (_turn, "turned"),
    (_shrink, "too small"),
    (lambda roll: roll["pieces"].pop(), "covers"),
    (lambda roll: roll["pieces"].append(roll["pieces"][0]), "twice"),
    (lambda roll: roll.update(length_m=roll["length_m"] + 0.1), "length"),
    (lambda roll: roll.update(roll_width_mm=900), "off the roll"),
    (lambda roll: roll.update(waste_share=0.01), "waste"),
]


@pytest.mark.parametrize(("spoil", "code"), SPOILT, ids=[code for _, code in SPOILT])
def test_the_judge_finds_what_was_spoilt(printed: str, spoil: Callable[[dict[str, Any]], object], code: str) -> None:
    plan = json.loads(printed)
    covered = {piece["panel"]: 0.0 for piece in plan["rolls"][0]["pieces"]}
    for piece in plan["rolls"][0]["pieces"]:
        covered[piece["panel"]] += piece["covers_m2"]
    spoil(plan["rolls"][0])

    found = faults(plan, covered, directional={"gloss-clear"} if code == "turned" else set(), gap_mm=2.0, margin_mm=22.0)
    assert code in {fault[0] for fault in found}


def test_the_files_of_a_plan_are_sheets_outlines_and_one_pdf(tmp_path: Path) -> None:
    done = run(selected("coupe", "partial_front"), "--svg", str(tmp_path), "--paper", "letter")
    rolls = json.loads(done.stdout)["rolls"]
    names = sorted(path.name for path in tmp_path.iterdir())

    assert done.exit_code == 0, done.stderr
    assert done.stderr == ""
    assert sum(name.endswith("outlines.svg") for name in names) == sum(name.endswith(".dxf") for name in names) == len(rolls)
    assert any(name.endswith("sheet-1.svg") for name in names)
    assert (tmp_path / "cut-plan.pdf").read_bytes().startswith(b"%PDF-")
    pieces = {insert.dxf.text for path in tmp_path.glob("*.dxf") for insert in ezdxf.readfile(path).modelspace().query("TEXT")}
    assert pieces == {piece["id"] for roll in rolls for piece in roll["pieces"]}


def test_without_the_pdf_libraries_the_sheets_are_there_and_the_reader_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def missing() -> None:
        raise sheets_pdf.PdfLibrariesMissing

    monkeypatch.setattr(sheets_pdf, "_typesetter", missing)
    done = run(selected("coupe", "partial_front"), "--svg", str(tmp_path))

    assert done.exit_code == 0
    assert "Print the sheets" in done.stderr
    assert not (tmp_path / "cut-plan.pdf").exists()
    assert list(tmp_path.glob("*sheet-1.svg"))


def test_a_folder_that_cant_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    done = run(selected("coupe", "partial_front"), "--svg", str(tmp_path / "file"))

    assert done.exit_code == 2
    assert "Traceback" not in done.stderr


def stock(folder: Path, text: str) -> str:
    file = folder / "stock.yaml"
    file.write_text(text, encoding="utf-8")
    return str(file)


def test_a_cheap_offcut_is_cut_from_first_and_named_on_the_plan(tmp_path: Path) -> None:
    offcut = "rolls:\n  - {id: O-9, film: gloss-clear, width_mm: 1524, left_m: 2.6, cost_per_m: 5}\n"
    done = run(selected("sedan", "full_front"), "--stock", stock(tmp_path, offcut), "--svg", str(tmp_path / "out"))
    first = json.loads(done.stdout)["rolls"][0]

    assert (first["stock"], first["stock_left_m"]) == ("O-9", 2.6)
    assert first["length_m"] <= 2.6
    sheet = next((tmp_path / "out").glob("01-*sheet-1.svg")).read_text(encoding="utf-8")
    assert "O-9" in sheet
    assert "stays on the roll" in sheet


def test_too_little_film_and_a_bad_list_end_with_2_and_the_file_named(tmp_path: Path) -> None:
    little = "new_rolls: false\nrolls:\n  - {id: O-9, film: gloss-clear, width_mm: 1524, left_m: 2.6}\n"
    short = run(selected("sedan", "full_front"), "--stock", stock(tmp_path, little))
    bad = run(selected("sedan", "full_front"), "--stock", stock(tmp_path, little.replace("gloss-clear", "chrome")))

    assert (short.exit_code, bad.exit_code) == (2, 2)
    assert short.stderr.startswith("stock.yaml: rolls: ")
    assert bad.stderr.startswith("stock.yaml: rolls[0].film: ")
    assert short.stdout == bad.stdout == ""


def test_what_must_be_known_of_a_plan_is_said_in_the_readers_language(monkeypatch: pytest.MonkeyPatch) -> None:
    """As where the solver isn't installed: the quick plan is printed, and a sentence on standard error."""
    monkeypatch.setattr(film_plans, "plan_film", lambda *_, **__: FilmPlan("quick", (), DEEP_MISSING))
    done = run(selected("coupe", "partial_front"), "--deep", "--locale", "de")

    assert json.loads(done.stdout)["note"] == "deep_missing"
    assert "nicht installiert" in done.stderr
