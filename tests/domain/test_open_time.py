"""Open time and its inverse: exact, never falling, and each other's inverse."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.open_time import OpenTime, OutOfHorizon, Window, open_time

DAY = open_time([Window(510, 750), Window(795, 1050, 2)])


@st.composite
def open_times(draw: st.DrawFn) -> OpenTime:
    lengths = draw(st.lists(st.tuples(st.integers(1, 30), st.integers(1, 40), st.integers(0, 3)), min_size=1, max_size=8))
    windows, now = [], 0
    for gap, length, rate in lengths:
        windows.append(Window(now + gap, now + gap + length, rate))
        now += gap + length
    return open_time(windows)


def test_work_that_ends_when_a_window_ends_doesnt_wait_for_the_next() -> None:
    assert DAY.finish(510, 240) == 750
    assert DAY.finish(510, 241) == 796


def test_no_work_ends_at_once_even_while_closed() -> None:
    assert DAY.finish(760, 0) == 760


def test_next_opening_from_a_closing_minute_is_the_next_window() -> None:
    assert [DAY.next_open(at) for at in (0, 510, 749, 750, 795)] == [510, 510, 749, 795, 795]


def test_a_windows_first_and_last_moments_belong_to_it() -> None:
    assert [DAY.holds(at) for at in (509, 510, 750, 751, 795, 1050, 1051)] == [False, True, True, False, True, True, False]


def test_nothing_can_be_promised_beyond_the_last_window() -> None:
    for ask in (lambda: DAY.finish(510, 751), lambda: DAY.next_open(1050), lambda: open_time([]).finish(0, 1)):
        with pytest.raises(OutOfHorizon):
            ask()


@settings(deadline=None)
@given(open_times(), st.integers(0, 300), st.integers(1, 100))
def test_finish_is_the_first_instant_at_which_the_work_is_done(time: OpenTime, start: int, work: int) -> None:
    try:
        end = time.finish(start, work)
    except OutOfHorizon:
        assert time.done(10_000) - time.done(start) < work
        return

    assert time.done(end) - time.done(start) >= work
    assert time.done(end - 1) - time.done(start) < work


@settings(deadline=None)
@given(open_times(), st.integers(0, 300), st.integers(0, 60), st.integers(0, 40), st.integers(0, 40))
def test_starting_later_or_doing_more_never_finishes_earlier(time: OpenTime, start: int, work: int, later: int, more: int) -> None:
    try:
        end = time.finish(start + later, work + more)
    except OutOfHorizon:
        return

    assert time.finish(start, work) <= end


@settings(deadline=None)
@given(open_times(), st.integers(0, 400))
def test_what_can_be_done_counts_every_open_second_at_its_rate(time: OpenTime, instant: int) -> None:
    seconds = sum(rate * len(range(start, min(end, instant))) for start, end, rate in zip(time.starts, time.ends, time.rates, strict=True))

    assert time.done(instant) == seconds
