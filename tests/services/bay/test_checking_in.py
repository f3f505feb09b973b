"""A car comes in: the record, the work order and the move are one."""

import threading
from dataclasses import replace
from typing import Any

import pytest

from configurator.domain.bay.check_in import DamageKind, OdometerUnit
from configurator.domain.review import MoveRefused, State
from configurator.errors import InvalidInput
from configurator.services.bay.checking_in import check_in
from configurator.services.bay.ordering import order_for, orders
from configurator.services.estimating import work_plan
from configurator.services.film.film_planning import plan_film
from configurator.services.ports import ChangedMeanwhile
from tests.bay_builders import a_check_in, bring_in
from tests.services.bay.conftest import Bay


def test_checking_in_moves_the_car_and_makes_its_work_order(bay: Bay) -> None:
    reference = bay.scheduled()

    moved = bring_in(reference, bay.office, bay["tomas"])

    job = bay.job(reference)
    selection = bay.office.desk.load_selection(dict(moved.selection))
    assert moved.state is State.IN_BAY
    assert [task.key for task in job.tasks] == [operation.id for operation in work_plan(bay.office.shop, selection).operations]
    assert [(roll.film, roll.roll_width_mm) for roll in job.rolls] == [
        (roll.film, roll.roll_width_mm) for roll in plan_film(bay.office.shop, selection).rolls
    ]
    assert job.closed_at is None


def test_the_record_keeps_what_was_typed(bay: Bay) -> None:
    record = bay.job(bay.at_work()).check_in

    assert (record.odometer, record.odometer_unit, record.keys, record.fuel_percent) == (12345, OdometerUnit.MILE, 2, 60)
    assert [(mark.panel, mark.kind, mark.note) for mark in record.damage] == [("hood", DamageKind.CHIP, "two, near the badge")]
    assert [(one.panel, one.micrometres, one.suggests_respray) for one in record.readings] == [("hood", (118, 121), False)]
    assert (record.signed, record.by.name, record.at) == ("Mara Ellison", "Robin", bay.clock())


def test_the_cars_own_record_knows_the_odometer(bay: Bay) -> None:
    request = bay.request(bay.at_work())

    with bay.office.store.reading() as work:
        vehicle = work.customers.vehicle(request.vehicle_id)
        changes = work.customers.history(request.customer_id, vehicle_id=request.vehicle_id)
    assert vehicle is not None
    assert vehicle.odometer == 12345
    assert [(change.by.name, change.fields) for change in changes] == [("Robin", {"odometer": ("", "12345")})]


@pytest.mark.parametrize(
    ("changes", "path", "code"),
    [
        ({"signed": "  "}, "signed", "missing"),
        ({"odometer": ""}, "odometer", "missing"),
        ({"odometer": "about 5"}, "odometer", "must_be_whole"),
        ({"odometer": "99999999"}, "odometer", "not_between"),
        ({"odometer": "١٢٣"}, "odometer", "must_be_whole"),
        ({"keys": "0"}, "key_count", "not_between"),
        ({"fuel_percent": "101"}, "fuel_percent", "not_between"),
        ({"damage": (("wing", "chip", ""),)}, "damage_panel_0", "choose_one"),
        ({"damage": (("hood", "boom", ""),)}, "damage_kind_0", "choose_one"),
        ({"damage": (("", "chip", "a note without a place"),)}, "damage_panel_0", "choose_one"),
        ({"damage": (("hood", "chip", "x" * 301),)}, "damage_note_0", "text_too_long"),
        ({"readings": (("hood", "thick"),)}, "reading_hood", "not_readings"),
        ({"readings": (("hood", "1 2 3 4"),)}, "reading_hood", "not_readings"),
        ({"readings": (("hood", "0"),)}, "reading_hood", "not_between"),
        ({"items": "a\x00b"}, "belongings", "unreadable_text"),
    ],
)
def test_what_can_not_be_is_refused_beside_its_field_and_nothing_is_kept(bay: Bay, changes: dict[str, Any], path: str, code: str) -> None:
    reference = bay.scheduled()

    with pytest.raises(InvalidInput) as refused:
        bring_in(reference, bay.office, bay["tomas"], **changes)

    assert [(fault.path, fault.code) for fault in refused.value.faults] == [(path, code)]
    assert bay.request(reference).state is State.SCHEDULED
    assert bay.job(reference) is None


def test_a_car_without_a_place_is_not_checked_in(bay: Bay) -> None:
    reference = bay.send()

    with pytest.raises(MoveRefused):
        bring_in(reference, bay.office, bay["tomas"])


def test_an_assembler_checks_nothing_in(bay: Bay) -> None:
    with pytest.raises(MoveRefused) as refused:
        bring_in(bay.scheduled(), bay.office, bay["jost"])

    assert refused.value.reason == "not_yours"


def test_of_many_tablets_at_once_exactly_one_checks_in(bay: Bay) -> None:
    reference = bay.scheduled()
    revision = bay.request(reference).revision
    outcomes: list[str] = []
    start = threading.Barrier(4)

    def enter(name: str) -> None:
        start.wait()
        try:
            check_in(reference, revision, a_check_in(signed=name), bay["tomas"], bay.office)
            outcomes.append("in")
        except (ChangedMeanwhile, MoveRefused):
            outcomes.append("refused")

    threads = [threading.Thread(target=enter, args=(f"Customer {number}",)) for number in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()

    assert sorted(outcomes) == ["in", "refused", "refused", "refused"]
    with bay.office.store.reading() as work:
        history = work.requests.history(bay.request(reference).id)
    assert [event.target for event in history].count(State.IN_BAY) == 1


def test_a_second_editor_is_noticed(bay: Bay) -> None:
    reference = bay.scheduled()
    old = bay.request(reference).revision - 1

    with pytest.raises(ChangedMeanwhile):
        check_in(reference, old, a_check_in(), bay["robin"], bay.office)


def test_scheduled_cars_are_listed_with_what_must_be_in_the_house(bay: Bay) -> None:
    """Film as estimated, parts as they come off: worked out by hand from the request that was kept."""
    reference = bay.scheduled()
    bay.at_work()

    with bay.office.store.reading() as work:
        expected = orders(work)

    assert [one.request.reference for one in expected] == [reference]
    order = order_for(expected[0].request, bay.office.book)
    kept = expected[0].request.estimate
    assert order.rolls == kept.film
    assert {part.part: part.count for part in order.parts} == {
        part: [one.part for one in kept.parts].count(part) for part in {one.part for one in kept.parts}
    }


def test_a_reading_that_is_too_thick_says_so(bay: Bay) -> None:
    reference = bay.scheduled()
    bring_in(reference, bay.office, bay["tomas"], readings=(("hood", "118, 240"),))

    (reading,) = bay.job(reference).check_in.readings
    assert reading.suggests_respray
    assert not replace(reading, micrometres=(200,)).suggests_respray
