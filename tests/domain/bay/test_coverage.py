"""The coverage record says what is really on the car."""

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from configurator.domain.bay.coverage import Coverage, coverage_of
from configurator.domain.bay.film import Remake, RemakeReason
from configurator.domain.bay.results import FilmResult, TaskResult, by_film, by_kind
from configurator.domain.bay.seams import Seam
from configurator.domain.bay.tasks import TaskState, Timer
from configurator.domain.bay.warranty import Care
from configurator.loading.price_book import demo_price_book
from tests.domain.bay.builders import NOON, a_box, a_job, a_task, done, laying

LEAP_DAY = datetime(2028, 2, 29, 20, 0, tzinfo=UTC)
CARE = Care(LEAP_DAY, date(2028, 3, 7), (date(2028, 3, 7),))


@pytest.fixture
def record() -> Coverage:
    remake = Remake(
        piece="mirror_left", panel="mirror_left", film="gloss-clear", metres=0.3, reason=RemakeReason.DUST, at=NOON, by="Tomas Reyl"
    )
    job = a_job(
        done("film_hood", laid=laying("gloss-clear", "matte-clear"), timers=(Timer(2, "Wen Adair", NOON, NOON),)),
        done("film_mirror_left"),
        a_task("film_roof", state=TaskState.STRUCK, reason="paint is soft"),
        done("off_badge", finished_by="Jost Hamel"),
        boxes=(a_box(batch="GC-1"), a_box("matte-clear", "MC-7"), a_box(batch="GC-2", panels=("mirror_left",))),
        remakes=(remake,),
        seams=(Seam(1, "hood", False, 1200.0, "a", "b"), Seam(2, "roof", True, 900.0, "c", "d")),
    )
    return coverage_of(job, "PFB-TEST", LEAP_DAY, demo_price_book(), CARE, checked_by="Ines Calder", cautions=(), received_by="Mara")


def test_a_panel_that_was_left_out_is_named_with_its_reason_and_not_covered(record: Coverage) -> None:
    assert [panel.panel for panel in record.panels] == ["hood", "mirror_left"]
    assert [(one.panel, one.reason) for one in record.left_out] == [("roof", "paint is soft")]
    assert record.bare == ("roof",)
    assert record.numbers == {"hood": "1", "mirror_left": "2"}


def test_each_film_has_its_own_batches(record: Coverage) -> None:
    hood, mirror = record.panels

    assert [(film.film, film.batches) for film in hood.films] == [("gloss-clear", ("GC-1",)), ("matte-clear", ("MC-7",))]
    assert [(film.film, film.batches) for film in mirror.films] == [("gloss-clear", ("GC-2",))]
    assert (hood.remade, mirror.remade) == (0, 1)


def test_warranties_follow_the_price_book_from_a_leap_day(record: Coverage) -> None:
    """The demo shop gives ten years on body film (its price book) and two on its own fitting."""
    assert {one.film: (one.start, one.until) for one in record.warranties} == {
        "gloss-clear": (date(2028, 2, 29), date(2038, 2, 28)),
        "matte-clear": (date(2028, 2, 29), date(2038, 2, 28)),
    }
    assert record.fitting_until == date(2030, 2, 28)


def test_a_panel_is_warranted_as_long_as_its_shortest_film(record: Coverage) -> None:
    book = demo_price_book()
    films = {**book.films, "matte-clear": replace(book.films["matte-clear"], warranty_years=5)}
    job = a_job(done("film_hood", laid=laying("gloss-clear", "matte-clear")), boxes=(a_box(), a_box("matte-clear")))

    made = coverage_of(job, "X", LEAP_DAY, replace(book, films=films), CARE, checked_by="", cautions=(), received_by="")

    assert made.panels[0].warranty_until == date(2033, 2, 28)


def test_it_names_who_did_what_and_counts_only_seams_that_are_there(record: Coverage) -> None:
    assert record.fitted_by == ("Wen Adair", "Tomas Reyl")
    assert record.parts_by == ("Jost Hamel",)
    assert (record.seams, record.seam_mm) == (1, 1200.0)


def a_result(kind: str, planned: float, minutes: float) -> TaskResult:
    return TaskResult(
        reference="X", finished_at=NOON, body="coupe", edges="wrapped", price_book="t", key=kind, kind=kind, panel=None, part=None,
        role="installer", usual=planned, planned=planned, minutes=minutes, remade=0,
    )  # fmt: skip


def test_results_are_sums_with_counts() -> None:
    """By hand: 100 + 50 planned and 130 + 50 real are 180 over 150, a fifth more; the mean of the ratios would say 15 per cent."""
    film, wash = by_kind([a_result("film", 100, 130), a_result("film", 50, 50), a_result("wash", 60, 45)])

    assert (film.name, film.count, film.planned, film.real) == ("film", 2, 150, 180)
    assert film.difference == pytest.approx(0.2)
    assert (wash.count, wash.difference) == (1, pytest.approx(-0.25))


def test_film_results_are_per_film() -> None:
    used = FilmResult(reference="X", finished_at=NOON, body="coupe", film="gloss-clear", planned_m=4.0, used_m=5.0, remade_m=0.5)

    assert [(one.name, one.count, one.difference) for one in by_film([used, used])] == [("gloss-clear", 2, pytest.approx(0.25))]
    assert by_film([replace(used, planned_m=0.0)])[0].difference == 0.0
