"""Hand-over: what is missing is named, and record, move and mail are one."""

import threading
from collections.abc import Callable
from typing import Any

import pytest

from configurator.domain.bay.checks import SECOND
from configurator.domain.bay.coverage import Coverage
from configurator.domain.review import MoveRefused, Need, State
from configurator.domain.selection import LampFilm
from configurator.errors import InvalidInput
from configurator.services.bay import ticking, using_film, working
from configurator.services.bay.following_up import follow_up
from configurator.services.bay.handing_over import hand_over, missing, record_by_token, record_of
from configurator.services.bay.office import NoSuchTask, NotInBay
from configurator.services.bay.ticking import NotYetToSign
from configurator.services.ports import ChangedMeanwhile
from configurator.services.reviewing import NoSuchRequest
from tests.services.bay.conftest import Bay

TAIL = {"add": ("hood",), "edges": "trimmed", "lamps": {"tail_lamps": "smoke_medium"}, "acknowledged": ("tail_lamps",)}


def do_tasks(bay: Bay, reference: str, *, but: str = "") -> None:
    for task in bay.job(reference).tasks:
        if task.is_asked_for and task.key != but:
            working.finish(reference, task.key, bay["tomas"], bay.office, minutes="30")


def name_film(bay: Bay, reference: str) -> None:
    for roll in bay.job(reference).rolls:
        name = f"{roll.film}:{roll.roll_width_mm:g}"
        using_film.open_box(reference, name, bay["tomas"], bay.office, roll=name, batch=f"B-{roll.film}", metres="4.5", offcut="0.3")


def tick_all(bay: Bay, reference: str) -> None:
    for code in ticking.checks_of(bay.request(reference), bay.job(reference), bay.office):
        ticking.tick(reference, code, bay["tomas"], bay.office)


def sign_all(bay: Bay, reference: str) -> None:
    ticking.sign(reference, "installer", bay["tomas"], bay.office)
    ticking.sign(reference, SECOND, bay["wen"], bay.office)
    with bay.office.store.reading() as work:
        wanted = ticking.signatures_of(bay.job(reference), work)
    if "assembler" in wanted:
        ticking.sign(reference, "assembler", bay["jost"], bay.office)


def finished(bay: Bay, **selection: Any) -> str:
    """A car of which everything is done, ticked, signed and named."""
    reference = bay.at_work(**selection)
    for step in (do_tasks, name_film, tick_all, sign_all):
        step(bay, reference)
    return reference


def give_back(bay: Bay, reference: str, **more: Any) -> Any:
    revision = more.pop("revision", bay.request(reference).revision)
    return hand_over(reference, revision, bay["robin"], bay.office, received_by=more.pop("received_by", "Mara Ellison"))


def record(bay: Bay, reference: str) -> Coverage:
    with bay.office.store.reading() as work:
        return record_of(reference, work)[1]


def mails(bay: Bay, reference: str) -> list[str]:
    with bay.office.store.reading() as work:
        return [mail.kind for mail in work.mails.about(bay.request(reference).id)]


def test_a_finished_car_is_handed_over_with_its_record_and_a_mail(bay: Bay) -> None:
    reference = finished(bay)

    moved = give_back(bay, reference)

    assert moved.state is State.HANDED_OVER
    kept = record(bay, reference)
    assert [panel.panel for panel in kept.panels] == ["hood", "mirror_left"]
    assert {batch for panel in kept.panels for film in panel.films for batch in film.batches} == {"B-gloss-clear"}
    assert (kept.checked_by, kept.received_by, kept.fitted_by) == ("Wen", "Mara Ellison", ("Tomas",))
    assert mails(bay, reference).count("handed_over") == 1
    assert bay.job(reference).closed_at == bay.clock()


UNDONE: dict[Need, Callable[[Bay, str], None]] = {
    Need.TASKS_FINISHED: lambda bay, reference: working.reopen(reference, "film_hood", bay["tomas"], bay.office),
    Need.CHECKLIST_SIGNED: lambda bay, reference: ticking.untick(reference, "washed", bay.office),
    Need.BATCHES_NAMED: lambda bay, reference: using_film.take_back_box(reference, bay.job(reference).boxes[0].id, bay.office),
}


@pytest.mark.parametrize("need", list(UNDONE))
def test_with_something_missing_nothing_happens(bay: Bay, need: Need) -> None:
    reference = finished(bay)
    UNDONE[need](bay, reference)

    with pytest.raises(MoveRefused) as refused:
        give_back(bay, reference)

    assert need in refused.value.missing
    assert bay.request(reference).state is State.IN_BAY
    assert "handed_over" not in mails(bay, reference)
    with pytest.raises(NotInBay):
        record(bay, reference)


def test_what_is_missing_is_named(bay: Bay) -> None:
    reference = bay.at_work()
    with bay.office.store.reading() as work:
        at_first = missing(bay.request(reference), bay.job(reference), bay.office, work)
    do_tasks(bay, reference, but="film_hood")

    with bay.office.store.reading() as work:
        still = missing(bay.request(reference), bay.job(reference), bay.office, work)

    assert {task.key for task in at_first.tasks} == {task.key for task in bay.job(reference).tasks if task.is_asked_for}
    assert at_first.batches == ()
    assert [task.key for task in still.tasks] == ["film_hood"]
    assert still.batches == (("gloss-clear", "mirror_left"),)
    assert "installer" in still.signatures
    assert not still.is_nothing


def test_a_name_is_needed(bay: Bay) -> None:
    reference = finished(bay)

    with pytest.raises(InvalidInput):
        give_back(bay, reference, received_by=" ")


def test_a_letter_that_can_not_be_written_leaves_everything_as_it_was(bay: Bay, monkeypatch: pytest.MonkeyPatch) -> None:
    """Move, record and mail are one transaction."""
    reference = finished(bay)

    def fail(*_args: object, **_facts: object) -> None:
        raise RuntimeError("no letter")

    monkeypatch.setattr(type(bay.office.desk.letters), "write", fail)
    with pytest.raises(RuntimeError):
        give_back(bay, reference)

    assert bay.request(reference).state is State.IN_BAY
    assert bay.job(reference).closed_at is None


def test_twice_is_refused_and_a_second_editor_noticed(bay: Bay) -> None:
    reference = finished(bay)
    revision = bay.request(reference).revision
    with pytest.raises(ChangedMeanwhile):
        give_back(bay, reference, revision=revision - 1)
    give_back(bay, reference)

    with pytest.raises(NotInBay):
        give_back(bay, reference)
    assert mails(bay, reference).count("handed_over") == 1


def test_reopening_at_the_same_moment_never_hands_an_open_task_over(bay: Bay) -> None:
    reference = finished(bay)
    revision = bay.request(reference).revision
    start = threading.Barrier(2)
    outcomes: list[str] = []

    def give() -> None:
        start.wait()
        try:
            give_back(bay, reference, revision=revision)
            outcomes.append("handed over")
        except MoveRefused:
            outcomes.append("refused")

    def reopen() -> None:
        start.wait()
        try:
            working.reopen(reference, "film_hood", bay["wen"], bay.office)
            outcomes.append("reopened")
        except NotInBay:
            outcomes.append("too late")

    threads = [threading.Thread(target=give), threading.Thread(target=reopen)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(outcomes) in (["handed over", "too late"], ["refused", "reopened"])


def test_a_panel_that_was_left_out_is_not_on_the_record_and_needs_no_batch(bay: Bay) -> None:
    reference = bay.at_work()
    working.strike(reference, "film_mirror_left", "cap is cracked", bay["tomas"], bay.office)
    do_tasks(bay, reference, but="film_mirror_left")
    for step in (name_film, tick_all, sign_all):
        step(bay, reference)

    give_back(bay, reference)

    kept = record(bay, reference)
    assert [panel.panel for panel in kept.panels] == ["hood"]
    assert [(one.panel, one.reason) for one in kept.left_out] == [("mirror_left", "cap is cracked")]


def test_the_fitter_can_not_be_the_second_pair_of_eyes(bay: Bay) -> None:
    reference = bay.at_work()
    do_tasks(bay, reference)
    tick_all(bay, reference)

    with pytest.raises(NotYetToSign) as refused:
        ticking.sign(reference, SECOND, bay["tomas"], bay.office)

    assert refused.value.reason == "same_person"


def test_nobody_signs_before_the_list_is_ticked_and_what_is_found_takes_names_away(bay: Bay) -> None:
    reference = bay.at_work()
    with pytest.raises(NotYetToSign) as refused:
        ticking.sign(reference, "installer", bay["tomas"], bay.office)
    assert "washed" in refused.value.codes

    tick_all(bay, reference)
    ticking.sign(reference, "installer", bay["tomas"], bay.office)
    ticking.tick(reference, "edges_down", bay["wen"], bay.office, is_good=False, note="lifts at the nose")

    job = bay.job(reference)
    assert job.mark("signature", "installer") is None
    assert (job.mark("check", "edges_down").is_good, job.mark("check", "edges_down").note) == (False, "lifts at the nose")
    with pytest.raises(InvalidInput):
        ticking.tick(reference, "edges_down", bay["wen"], bay.office, is_good=False)


def test_a_check_that_this_job_has_not_can_not_be_ticked(bay: Bay) -> None:
    reference = bay.at_work()

    for code in ("seams_closed", "off_road.tail_lamps", "nothing"):
        with pytest.raises(NoSuchTask):
            ticking.tick(reference, code, bay["tomas"], bay.office)


def test_an_acknowledged_lamp_is_a_check_of_its_own(bay: Bay) -> None:
    reference = bay.at_work(**TAIL)

    assert "off_road.tail_lamps" in ticking.checks_of(bay.request(reference), bay.job(reference), bay.office)
    for side in ("left", "right"):
        working.strike(reference, f"lamp_film_tail_lamp_{side}", "changed their mind", bay["tomas"], bay.office)
    assert "off_road.tail_lamps" not in ticking.checks_of(bay.request(reference), bay.job(reference), bay.office)


def test_a_form_sent_twice_counts_one_box_and_one_remake(bay: Bay) -> None:
    reference = bay.at_work()
    roll = next(f"{roll.film}:{roll.roll_width_mm:g}" for roll in bay.job(reference).rolls)
    for _ in range(2):
        using_film.open_box(reference, "form-1", bay["tomas"], bay.office, roll=roll, batch="GC-1", metres="2,5", offcut="")
        using_film.remake(reference, "form-2", "hood", "dust", bay["tomas"], bay.office)

    job = bay.job(reference)
    assert [(box.batch, box.metres) for box in job.boxes] == [("GC-1", 2.5)]
    assert [(one.piece, one.panel, one.reason.value) for one in job.remakes] == [("hood", "hood", "dust")]
    assert job.remakes[0].metres > 0


@pytest.mark.parametrize(
    ("field", "text", "code"),
    [("batch", " ", "missing"), ("metres", "", "missing"), ("metres", "two", "must_be_a_number"), ("metres", "nan", "must_be_a_number"),
     ("metres", "0", "not_between"), ("metres", "1e9", "not_between"), ("offcut", "-1", "not_between"), ("roll", "gold:1", "choose_one")],
)  # fmt: skip
def test_a_box_that_can_not_be_is_refused(bay: Bay, field: str, text: str, code: str) -> None:
    reference = bay.at_work()
    roll = next(f"{roll.film}:{roll.roll_width_mm:g}" for roll in bay.job(reference).rolls)
    typed = {"roll": roll, "batch": "GC-1", "metres": "2", "offcut": "", field: text}

    with pytest.raises(InvalidInput) as refused:
        using_film.open_box(reference, "entry", bay["tomas"], bay.office, **typed)

    assert [(fault.path, fault.code) for fault in refused.value.faults] == [(field, code)]
    assert bay.job(reference).boxes == ()


def test_a_piece_to_cut_again_is_no_longer_ticked_as_cut(bay: Bay) -> None:
    reference = bay.at_work()
    ticking.mark_done(reference, "piece", "hood", bay["tomas"], bay.office)
    using_film.remake(reference, "entry", "hood", "crease", bay["tomas"], bay.office)

    assert bay.job(reference).mark("piece", "hood") is None
    with pytest.raises(NoSuchTask):
        using_film.remake(reference, "entry", "wing", "crease", bay["tomas"], bay.office)
    with pytest.raises(InvalidInput):
        using_film.remake(reference, "entry", "hood", "bad luck", bay["tomas"], bay.office)


def test_what_it_really_took_is_kept_beside_what_was_planned(bay: Bay) -> None:
    reference = finished(bay)
    with bay.office.store.reading() as work:
        assert work.bay.results().tasks == ()
    give_back(bay, reference)

    with bay.office.store.reading() as work:
        results = work.bay.results()

    job = bay.job(reference)
    asked = [task for task in job.tasks if task.is_asked_for]
    assert {result.key: (result.planned, result.minutes) for result in results.tasks} == {task.key: (task.planned, 30.0) for task in asked}
    assert {result.reference for result in results.tasks} == {reference}
    (film,) = results.film
    assert (film.film, film.used_m) == ("gloss-clear", 4.5)
    assert film.planned_m == pytest.approx(job.rolls[0].metres)


# --- what comes out of a record


def handed_over(bay: Bay, **selection: Any) -> tuple[Any, Coverage]:
    reference = finished(bay, **selection)
    give_back(bay, reference)
    return bay.request(reference), record(bay, reference)


def test_a_follow_up_is_a_new_request_of_that_panel_linked_to_the_record(bay: Bay) -> None:
    request, kept = handed_over(bay)

    sent = follow_up(request, kept, bay.office, panel="hood", kind="claim", notes="A corner lifts.", key="form-1")

    new = bay.request(sent.reference)
    chosen = bay.office.desk.load_selection(dict(new.selection))
    assert new.state is State.RECEIVED
    assert (new.customer_id, new.vehicle_id, new.notes) == (request.customer_id, request.vehicle_id, "A corner lifts.")
    assert (chosen.add, chosen.vehicle.remove_film) == (("hood",), ("hood",))
    with bay.office.store.reading() as work:
        link = work.bay.follow_up(new.id)
        assert work.bay.follow_ups_of(request.id) == (link,)
    assert link is not None
    assert (link.origin, link.panel, link.kind.value, link.film, link.batches) == (
        request.reference, "hood", "claim", "gloss-clear", ("B-gloss-clear",),
    )  # fmt: skip


def test_the_same_form_makes_one_request(bay: Bay) -> None:
    request, kept = handed_over(bay)

    references = {
        follow_up(request, kept, bay.office, panel="hood", kind="replace", notes="Stone chip.", key="form-1").reference for _ in range(2)
    }

    assert len(references) == 1
    with bay.office.store.reading() as work:
        assert len(work.bay.follow_ups_of(request.id)) == 1


def test_what_was_acknowledged_for_a_lamp_holds_for_the_same_film(bay: Bay) -> None:
    request, kept = handed_over(bay, **TAIL)

    sent = follow_up(request, kept, bay.office, panel="tail_lamp_left", kind="replace", notes="Cracked.", key="form-1")

    new = bay.request(sent.reference)
    assert new.acknowledged == {"tail_lamps"}
    assert bay.office.desk.load_selection(dict(new.selection)).lamps["tail_lamps"] is LampFilm.SMOKE_MEDIUM


@pytest.mark.parametrize(
    ("changes", "path"), [({"panel": "roof"}, "panel"), ({"kind": "gift"}, "kind"), ({"notes": " "}, "notes"), ({"panel": ""}, "panel")]
)
def test_a_follow_up_that_can_not_be_sends_nothing(bay: Bay, changes: dict[str, str], path: str) -> None:
    request, kept = handed_over(bay)

    with pytest.raises(InvalidInput) as refused:
        follow_up(request, kept, bay.office, **{"panel": "hood", "kind": "claim", "notes": "A corner lifts.", "key": "k", **changes})

    assert [fault.path for fault in refused.value.faults] == [path]


def test_the_private_link_opens_the_record_once_there_is_one(bay: Bay) -> None:
    reference = finished(bay)
    token = bay.office.desk.links.private_token(bay.request(reference).link_nonce)
    with bay.office.store.reading() as work, pytest.raises(NoSuchRequest):
        record_by_token(token, work)
    give_back(bay, reference)

    with bay.office.store.reading() as work:
        request, kept = record_by_token(token, work)
        assert (request.reference, kept.reference) == (reference, reference)
        with pytest.raises(NoSuchRequest):
            record_by_token("x" * 24, work)
