"""A job's operations sorted into the phases that follow one another, with the minutes planned for each.

The order of phases is fixed and never depends on how long anything takes; that is what keeps the schedule monotone.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from math import sqrt

from configurator.domain.crew import Bundle, Limits, Seconds, Task
from configurator.domain.work import Kind, Operation, Role, Zone

PHASES: tuple[tuple[Kind, ...], ...] = (
    (Kind.CHECK_IN,),
    (Kind.WASH,),
    (Kind.REMOVE_FILM,),
    (Kind.STRIP_COATING,),
    (Kind.CORRECTION,),
    (Kind.PARTS_OFF,),
    (Kind.FILM, Kind.LAMP, Kind.WINDSHIELD),
    (Kind.PARTS_ON,),
    (Kind.SETTLE,),
    (Kind.INSPECT,),
    (Kind.HAND_OVER,),
)
"""Film settles from the end of the film phase while parts go back on; `inspect` waits for both."""

SHARED = frozenset({Kind.CORRECTION})
"""Work that two people can share on any panel: it makes two bundles, whatever its zones."""

_PHASE_OF = {kind: index for index, kinds in enumerate(PHASES) for kind in kinds}


@dataclass(frozen=True)
class Group:
    """Operations of one role that one person at a time is at, in order; or, if `halved`, two people with half of the time each."""

    role: Role
    operations: tuple[Operation, ...]
    halved: bool = False

    def bundles(self, k: float) -> tuple[Bundle, ...]:
        """The group with planned times at the quantile factor `k`."""
        tasks = [Task(operation.id, planned_seconds(operation, k)) for operation in self.operations]
        return tuple(Bundle(self.role, half) for half in _halves(tasks)) if self.halved else (Bundle(self.role, tuple(tasks)),)


@dataclass(frozen=True)
class Phase:
    """What is done in one phase: `side_by_side`, then `in_turn` one after the other while somebody of each of its roles is in.

    `in_turn` holds the operations that wait for one of another role in the same phase (a headlamp that an installer takes out
    after the assembler took the bumper off), and those. `clock`: operations that pass time without hands.
    """

    kinds: tuple[Kind, ...]
    side_by_side: tuple[Group, ...] = ()
    in_turn: tuple[Group, ...] = ()
    clock: tuple[Operation, ...] = ()


def planned_minutes(operation: Operation, k: float) -> float:
    """Minutes set aside for one operation: mean + k x standard deviation, to the second, never below 0.

    `k` must be the same for every job (time model: k50, k90): with a `k` of the job's own, adding work could bring the car back
    earlier.
    """
    return planned_seconds(operation, k) / 60


def planned_seconds(operation: Operation, k: float) -> Seconds:
    return max(0, round(60 * (operation.mean + k * sqrt(max(0.0, operation.variance)))))


def phases(operations: Sequence[Operation], limits: Limits) -> tuple[Phase, ...]:
    """The phases of a job, in order; those without operations are left out.

    `limits`: how many people of a role can be at the car; where it is 1, their work stays in the order in which it is listed.
    Raises ValueError when an operation comes after an unknown one, one of a later phase, or itself.
    """
    grouped: list[list[Operation]] = [[] for _ in PHASES]
    for operation in _in_order(operations):
        grouped[_PHASE_OF[operation.kind]].append(operation)
    return tuple(_phase(kinds, members, limits) for kinds, members in zip(PHASES, grouped, strict=True) if members)


def _in_order(operations: Sequence[Operation]) -> list[Operation]:
    """Operations so that each comes after its predecessors, otherwise in the order given."""
    by_id = {operation.id: operation for operation in operations}
    for operation in operations:
        for before in operation.after:
            if before not in by_id:
                raise ValueError(f"{operation.id} comes after {before}, which isn't there")
            if _PHASE_OF[by_id[before].kind] > _PHASE_OF[operation.kind]:
                raise ValueError(f"{operation.id} comes after {before}, which is done in a later phase")
    if _is_in_order(operations):
        return list(operations)
    try:
        return [by_id[name] for name in TopologicalSorter({each.id: each.after for each in operations}).static_order()]
    except CycleError as error:
        raise ValueError(f"operations wait for each other: {error.args[1]}") from error


def _is_in_order(operations: Sequence[Operation]) -> bool:
    done: set[str] = set()
    for operation in operations:
        if not done.issuperset(operation.after):
            return False
        done.add(operation.id)
    return True


def _phase(kinds: tuple[Kind, ...], members: Sequence[Operation], limits: Limits) -> Phase:
    if kinds == (Kind.SETTLE,):
        return Phase(kinds, clock=tuple(members))
    mixed = _mixed(members)
    return Phase(
        kinds,
        side_by_side=tuple(_groups([operation for operation in members if operation.id not in mixed], limits)),
        in_turn=tuple(_group([operation]) for operation in members if operation.id in mixed),
    )


def _groups(members: Sequence[Operation], limits: Limits) -> Iterator[Group]:
    """Operations of one role that share a zone, or wait for each other, stay together."""
    if _can_be_halved(members, limits):
        yield _group(members, halved=True)
        return
    links = _Links(operation.id for operation in members)
    first_of: dict[tuple[Role | None, Zone | None], str] = {}
    for operation in members:
        undivided = operation.kind in SHARED or (operation.role and limits[operation.role] == 1)
        links.join(operation.id, first_of.setdefault((operation.role, None if undivided else operation.zone), operation.id))
        for before in operation.after:
            links.join(operation.id, before)
    for group in links.groups(members):
        yield _group(group)


def _can_be_halved(members: Sequence[Operation], limits: Limits) -> bool:
    """Whether two people can share this work: there are two, and no part of it waits for another."""
    if not members or any(operation.kind not in SHARED for operation in members):
        return False
    ids = {operation.id for operation in members}
    return all(operation.role and limits[operation.role] > 1 and ids.isdisjoint(operation.after) for operation in members)


def _group(members: Sequence[Operation], *, halved: bool = False) -> Group:
    role = members[0].role
    if role is None:
        raise ValueError(f"{members[0].id} needs hands, but names no role")
    return Group(role, tuple(members), halved)


def _halves(tasks: Sequence[Task]) -> tuple[tuple[Task, ...], tuple[Task, ...]]:
    """Tasks as two lots of the same length (to the second); one task is cut where the first half ends."""
    half = (sum(task.seconds for task in tasks) + 1) // 2
    first: list[Task] = []
    second: list[Task] = []
    for task in tasks:
        here = min(task.seconds, half)
        half -= here
        first.append(Task(task.operation, here))
        second.append(Task(task.operation, task.seconds - here))
    return tuple(first), tuple(second)


def _mixed(members: Sequence[Operation]) -> frozenset[str]:
    """The ids of operations that hang together, over predecessors within the phase, with one of another role."""
    if len({operation.role for operation in members}) == 1:
        return frozenset()
    links = _Links(operation.id for operation in members)
    for operation in members:
        for before in operation.after:
            links.join(operation.id, before)
    groups = [group for group in links.groups(members) if len({operation.role for operation in group}) > 1]
    return frozenset(operation.id for group in groups for operation in group)


class _Links:
    """Which of some ids hang together (union-find); ids that aren't among them are ignored."""

    def __init__(self, ids: Iterable[str]) -> None:
        self._parent = {each: each for each in ids}

    def join(self, one: str, other: str) -> None:
        if one in self._parent and other in self._parent:
            self._parent[self._root(one)] = self._root(other)

    def groups(self, members: Iterable[Operation]) -> Iterable[Sequence[Operation]]:
        found: dict[str, list[Operation]] = {}
        for operation in members:
            found.setdefault(self._root(operation.id), []).append(operation)
        return found.values()

    def _root(self, each: str) -> str:
        while self._parent[each] != each:
            each = self._parent[each]
        return each
