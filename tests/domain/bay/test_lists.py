"""What to order before a car comes, cautions at parts, and the selection of a follow-up."""

from configurator.domain.bay.follow_up import selection_for
from configurator.domain.bay.ordering import order_of, totals, with_reserve
from configurator.domain.bay.part_cautions import cautions_at_panel, cautions_at_part
from configurator.domain.cautions import Reader, cautions
from configurator.domain.estimating import work
from configurator.domain.film_plan.records import FilmUse
from configurator.domain.kept_estimate import KeptPart
from configurator.domain.lamps import lamp_light
from configurator.domain.resolving import resolve
from configurator.domain.scoping import scope
from configurator.domain.selection import LampFilm, Package
from configurator.loading.price_book import demo_price_book
from tests.shops import body_for, chosen, demo_shop

BOOK = demo_price_book()


def parts(*kinds: str) -> list[KeptPart]:
    return [KeptPart(f"{kind}_{place}", kind, "hood", "installer", 10.0) for place, kind in enumerate(kinds)]


def test_sets_of_clips_are_the_expected_breaks_rounded_up() -> None:
    """By hand from the demo book: a flare breaks with 0.25, so four make one; five make 1.25, which takes two. A badge (0.06) takes one."""
    order = order_of("X", (), parts(*["flare"] * 5, "badge"), BOOK)
    by_part = {part.part: (part.count, part.clip_sets) for part in order.parts}

    assert by_part == {"badge": (1, 1), "flare": (5, 2)}
    assert order_of("X", (), parts(*["flare"] * 4), BOOK).parts[0].clip_sets == 1


def test_tape_is_ordered_where_a_part_is_taped_on() -> None:
    """The demo book has consumables for a badge (tape) and none for a grille."""
    taped = {part.part: part.tape_sets for part in order_of("X", (), parts("badge", "grille"), BOOK).parts}

    assert taped == {"badge": 1, "grille": 0}


def test_film_adds_up_over_jobs_by_film_and_width() -> None:
    one, two = FilmUse("gloss-clear", 1524.0, 4.0, 5, 3.0), FilmUse("gloss-clear", 1220.0, 2.0, 3, 1.0)
    orders = [order_of("A", (one, two), (), BOOK), order_of("B", (one,), (), BOOK)]

    assert totals(orders) == (("gloss-clear", 1220.0, 2.0), ("gloss-clear", 1524.0, 8.0))


def test_a_tenth_more_is_had_at_hand_to_the_tenth_upward() -> None:
    assert [with_reserve(metres) for metres in (1.0, 2.0, 4.28, 0.0)] == [1.1, 2.2, 4.8, 0.0]


def called() -> tuple:  # type: ignore[type-arg]
    shop = demo_shop()
    job = work(chosen("coupe", "full_front", edges="hidden", lamps={"headlamps": "clear"}), shop)
    light = lamp_light(job.scope, job.selection, shop.rules, shop.book)
    return cautions(job.scope, job.selection, light, shop.cautions, reader=Reader.WORK_ORDER)


def test_a_parts_own_cautions_stand_at_the_part_and_those_for_all_parts_do_not() -> None:
    rules = demo_shop().cautions
    at_bumper = {caution.code for caution in cautions_at_part("front_bumper", rules, called())}

    assert {"impact_sensors", "bumper_sensors"} <= at_bumper
    assert "high_voltage" not in at_bumper
    assert "seals" in {caution.code for caution in cautions_at_part("cowl_panel", rules, called())}
    assert cautions_at_part("washer_jet", rules, called()) == ()


def test_a_lamps_cautions_stand_at_both_lamps() -> None:
    codes = {caution.code for caution in cautions_at_panel("headlamp_left", called())}

    assert "headlamp_cover_us" in codes
    assert codes == {caution.code for caution in cautions_at_panel("headlamp_right", called())}


def test_a_follow_up_covers_the_one_panel_and_takes_the_old_film_off() -> None:
    shop = demo_shop()
    before = resolve(
        chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_medium"}, finish={"default": "gloss"}), shop.styles, shop.book
    )

    after = resolve(selection_for("hood", before), shop.styles, shop.book)

    assert (after.package, after.add) == (Package.NONE, ("hood",))
    assert after.vehicle.remove_film == ("hood",)
    assert set(after.lamps.values()) == {LampFilm.NONE}
    covered = scope(after, body_for(after), shop.book)
    assert [panel.id for panel in covered.covered] == ["hood"]
    assert not covered.lamps


def test_a_follow_up_of_a_lamp_covers_its_group_with_the_same_film() -> None:
    shop = demo_shop()
    before = resolve(chosen("coupe", "full_front", lamps={"tail_lamps": "smoke_medium"}), shop.styles, shop.book)

    after = resolve(selection_for("tail_lamp_left", before), shop.styles, shop.book)

    assert after.add == ()
    assert after.vehicle.remove_film == ()
    assert {lamp.id for lamp in scope(after, body_for(after), shop.book).lamps} == {"tail_lamp_left", "tail_lamp_right"}
