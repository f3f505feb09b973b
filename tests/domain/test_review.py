"""The states of a request: the table of the product page, and nothing else."""

import itertools

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from configurator.domain.review import MOVES, Actor, MoveRefused, Need, State, check_move, moves_from

TABLE = {
    # from, to: who (v visitor, a advisor, o owner, i installer, c clock)
    ("received", "in_review"): "ao",
    ("received", "withdrawn"): "v",
    ("in_review", "withdrawn"): "v",
    ("quoted", "withdrawn"): "v",
    ("received", "declined"): "ao",
    ("in_review", "declined"): "ao",
    ("quoted", "declined"): "aov",
    ("in_review", "quoted"): "ao",
    ("quoted", "quoted"): "ao",
    ("quoted", "expired"): "c",
    ("expired", "in_review"): "ao",
    ("quoted", "accepted"): "v",
    ("accepted", "scheduled"): "ao",
    ("scheduled", "scheduled"): "ao",
    ("scheduled", "accepted"): "ao",
    ("accepted", "withdrawn"): "ao",
    ("scheduled", "withdrawn"): "ao",
    ("scheduled", "in_bay"): "aoi",
    ("in_bay", "handed_over"): "aoi",
}
LETTERS = {"v": Actor.VISITOR, "a": Actor.ADVISOR, "o": Actor.OWNER, "i": Actor.INSTALLER, "c": Actor.CLOCK}
EVERYTHING = tuple(Need)


@pytest.mark.parametrize(("source", "target"), list(itertools.product(State, State)))
def test_every_pair_of_states_is_as_in_the_table(source: State, target: State) -> None:
    allowed = {LETTERS[letter] for letter in TABLE.get((source.value, target.value), "")}
    possible = set()
    for actor in Actor:
        try:
            check_move(source, target, actor, EVERYTHING)
            possible.add(actor)
        except MoveRefused:
            pass

    assert possible == allowed


def test_an_assembler_moves_nothing() -> None:
    assert all(moves_from(state, Actor.ASSEMBLER) == () for state in State)


@pytest.mark.parametrize("move", MOVES, ids=lambda move: f"{move.source}-{move.target}")
def test_a_move_without_what_it_needs_names_what_is_missing(move: object) -> None:
    for need in move.needs:  # type: ignore[attr-defined]
        met = [other for other in move.needs if other is not need]  # type: ignore[attr-defined]
        with pytest.raises(MoveRefused) as refused:
            check_move(move.source, move.target, next(iter(move.actors)), met)  # type: ignore[attr-defined]
        assert (refused.value.reason, refused.value.missing) == ("missing", (need,))


def test_a_refusal_says_whether_the_move_or_the_person_is_wrong() -> None:
    with pytest.raises(MoveRefused) as no_move:
        check_move(State.RECEIVED, State.IN_BAY, Actor.OWNER)
    with pytest.raises(MoveRefused) as not_yours:
        check_move(State.RECEIVED, State.IN_REVIEW, Actor.INSTALLER)

    assert (no_move.value.reason, not_yours.value.reason) == ("no_such_move", "not_yours")


@settings(deadline=None)
@given(st.lists(st.tuples(st.sampled_from(State), st.sampled_from(Actor)), max_size=30))
def test_whatever_is_tried_a_request_ends_where_the_table_says(tries: list[tuple[State, Actor]]) -> None:
    """A finished request stays finished, and nothing skips a state."""
    state = State.RECEIVED
    path = [state]
    for target, actor in tries:
        try:
            state = check_move(state, target, actor, EVERYTHING).target
        except MoveRefused:
            continue
        path.append(state)

    assert all((one.value, two.value) in TABLE for one, two in itertools.pairwise(path))
    for finished in (State.DECLINED, State.WITHDRAWN, State.HANDED_OVER):
        assert finished not in path[:-1]
    if State.IN_BAY in path:
        assert {State.IN_REVIEW, State.QUOTED, State.ACCEPTED, State.SCHEDULED} <= set(path)
