"""A crew at work on one phase: the earliest end that any distribution of the work allows, and a distribution that reaches it.

Work comes in bundles, such as a zone of the car: one person at a time is at a bundle, anyone with its role may take it up or hand it
on, and it may stop at closing time. With the same people in all the time this is McNaughton's rule, max(sum / n, longest bundle)
(R. McNaughton, Scheduling with deadlines and loss functions, Management Science 6, 1959). With people who come and go it is the
condition of G. Schmidt (Scheduling on semi-identical processors, Zeitschrift für Operations Research 28, 1984): for every set S of
bundles, the work in S must fit into the time at which hands for |S| bundles are there. With several roles the hands for a set are
the rank of a matching, and the condition stays exact (sums of polymatroids). Being an optimum, the end never comes earlier when work
is added or people or hours are taken away. Papers from memory; the tests compare every end with a linear program's.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from configurator.domain.calendar import Diary, NothingOpen, Places
from configurator.domain.open_time import OutOfHorizon
from configurator.domain.work import Role

Seconds = int
_ROLES = tuple(Role)


@dataclass(frozen=True)
class Task:
    """The part of an operation that belongs to a bundle."""

    operation: str
    seconds: Seconds


@dataclass(frozen=True)
class Bundle:
    """Tasks for one person at a time, in order."""

    role: Role
    tasks: tuple[Task, ...]

    @property
    def seconds(self) -> Seconds:
        return sum(task.seconds for task in self.tasks)


@dataclass(frozen=True)
class Stint:
    """One person at one bundle (both by index) from `start` to `end`, instants within one shift."""

    bundle: int
    person: int
    start: int
    end: int


@dataclass(frozen=True)
class Demand:
    """Work that can only be done at the rate at which `places` are filled."""

    places: Places
    seconds: Seconds


Limits = Mapping[Role, int]
"""How many people of each role may be at the car at once, at least 1 each."""


def demands(bundles: Sequence[Bundle], limits: Limits) -> tuple[Demand, ...]:
    """The conditions that decide when the bundles can be done: for every number of them per role, the longest ones."""
    per_role = {role: sorted((b.seconds for b in bundles if b.role is role and b.seconds), reverse=True) for role in _ROLES}
    roles = [role for role in _ROLES if per_role[role]]
    numbers = product(*(range(min(len(per_role[role]), limits[role]) + 1) for role in roles))
    return tuple(_demand(dict(zip(roles, number, strict=True)), per_role, limits) for number in numbers if any(number))


def _demand(numbers: Mapping[Role, int], per_role: Mapping[Role, Sequence[Seconds]], limits: Limits) -> Demand:
    """The work that fits into `numbers` places at most: as many bundles, or all of them once no more places would help."""
    places = tuple((role, number) for role, number in numbers.items() if number)
    seconds = sum(sum(per_role[role] if number == limits[role] else per_role[role][:number]) for role, number in places)
    return Demand(places, seconds)


def finish(diary: Diary, start: int, wanted: Sequence[Demand]) -> int:
    """The earliest instant by which all demands are met; `start` when there are none. Raises NothingOpen."""
    return max((_finish(diary, start, demand) for demand in wanted), default=start)


def _finish(diary: Diary, start: int, demand: Demand) -> int:
    try:
        return diary.hands(demand.places).finish(start, demand.seconds)
    except OutOfHorizon:
        raise NothingOpen(demand.places[-1][0], diary.moment(start).date()) from None


def finish_in_turn(diary: Diary, start: int, bundles: Sequence[Bundle]) -> int:
    """When bundles of several roles are done one after the other, while somebody of each of the roles is in. Raises NothingOpen."""
    if not bundles:
        return start
    try:
        return diary.together(_roles(bundles)).finish(start, sum(bundle.seconds for bundle in bundles))
    except OutOfHorizon:
        raise NothingOpen(bundles[-1].role, diary.moment(start).date()) from None


def in_turn(diary: Diary, start: int, bundles: Sequence[Bundle]) -> Iterator[Stint]:
    """The stints of `finish_in_turn`: each bundle by the first person of its role who is in."""
    together = diary.together(_roles(bundles)) if bundles else diary.shop
    for index, bundle in enumerate(bundles):
        end = together.finish(start, bundle.seconds)
        for shift in diary.shifts_between(start, end):
            if together.holds(shift.start):
                person = diary.with_role(bundle.role, shift.people)[0]
                yield Stint(index, person, max(start, shift.start), min(end, shift.end))
        start = end


def _roles(bundles: Sequence[Bundle]) -> frozenset[Role]:
    return frozenset(bundle.role for bundle in bundles)


def share_out(diary: Diary, start: int, end: int, bundles: Sequence[Bundle], limits: Limits) -> list[Stint]:
    """Who is at which bundle when, so that all of them are done between `start` and `end`, with few changes of hands.

    `end` must be what `finish` gives, or later. People carry on with what they are at, else take up the longest bundle left;
    only where that would make `end` unreachable do they change over.
    """
    sharing = _Sharing(diary, end, bundles, limits)
    stints: list[Stint] = []
    for shift in diary.shifts_between(start, end):
        for stint in sharing.fill(max(shift.start, start), shift.end, shift.people):
            _append(stints, stint)
    return stints


def _append(stints: list[Stint], stint: Stint) -> None:
    """Adds a stint, lengthening the person's last one at the same bundle where it goes straight on."""
    for index in range(len(stints) - 1, -1, -1):
        earlier = stints[index]
        if earlier.bundle == stint.bundle:
            if earlier.person == stint.person and earlier.end == stint.start:
                stints[index] = Stint(stint.bundle, stint.person, earlier.start, stint.end)
                return
            break
    stints.append(stint)


def along(bundle: Bundle, stints: Iterable[Stint]) -> Iterator[tuple[str, Stint]]:
    """A bundle's tasks laid along its stints (in order): each piece of an operation with who does it and when."""
    tasks = ((task.operation, task.seconds) for task in bundle.tasks if task.seconds)
    operation, left = next(tasks, ("", 0))
    for stint in stints:
        now = stint.start
        while now < stint.end:
            until = min(stint.end, now + left)
            yield operation, Stint(stint.bundle, stint.person, now, until)
            now, left = until, left - (until - now)
            if not left:
                operation, left = next(tasks, ("", 0))


class _Sharing:
    """The state of one sharing-out: what is left of each bundle, who was at it last, who is at which now and for how long yet."""

    def __init__(self, diary: Diary, end: int, bundles: Sequence[Bundle], limits: Limits) -> None:
        self.diary = diary
        self.end = end
        self.roles = [bundle.role for bundle in bundles]
        self.roles_here = [role for role in _ROLES if role in self.roles]
        self.left = [bundle.seconds for bundle in bundles]
        self.limits = limits
        self.last: dict[int, int] = {}
        self.crew: dict[int, int] = {}
        self.longest: Seconds = 0
        self.people = frozenset[int]()

    def fill(self, start: int, shift_end: int, people: frozenset[int]) -> Iterator[Stint]:
        """Stints for one shift, from `start`; hands change when a bundle is done, another can't wait, or people come or go."""
        now = start
        if people != self.people:
            self.people, self.longest = people, 0
        while now < shift_end and any(self.left):
            if not self.longest:
                self._choose(now)
            if not self.crew:
                return
            until = min(shift_end, now + self.longest)
            self.longest -= until - now
            for bundle, person in self.crew.items():
                self.left[bundle] -= until - now
                yield Stint(bundle, person, now, until)
            now = until

    def _choose(self, now: int) -> None:
        """Sets the bundles to be at now with their people, and for how long: until one is done, or the end would get out of reach."""
        order = [bundle for bundle, left in enumerate(self.left) if left]
        order.sort(key=lambda bundle: (bundle not in self.crew, -self.left[bundle], bundle))
        first = self._greedy(order)
        longest, pressing = self._leeway(first, now)
        if first and not longest:
            order.sort(key=lambda bundle: bundle not in pressing)
            first, longest = self._first_that_can_go_on(order, len(first), now)
        self.crew, self.longest = first, min((longest, *(self.left[bundle] for bundle in first)))
        self.last.update(first)

    def _first_that_can_go_on(self, order: Sequence[int], size: int, now: int) -> tuple[dict[int, int], Seconds]:
        for chosen in combinations(order, size):
            crew = self._hand_out(chosen)
            if crew and (longest := self._leeway(crew, now)[0]):
                return crew, longest
        raise AssertionError("while the end can be reached, some crew keeps it so")

    def _greedy(self, order: Sequence[int]) -> dict[int, int]:
        """As many bundles as there are hands for, the first in `order` before the others."""
        most = self.diary.filled(self._places(order), self.people)
        crew: dict[int, int] = {}
        for bundle in order:
            if len(crew) == most:
                break
            crew = self._hand_out((*crew, bundle)) or crew
        return crew

    def _places(self, bundles: Sequence[int]) -> Places:
        roles = [self.roles[bundle] for bundle in bundles]
        return tuple((role, min(roles.count(role), self.limits[role])) for role in self.roles_here if role in roles)

    def _hand_out(self, chosen: Sequence[int]) -> dict[int, int] | None:
        """A person for each chosen bundle, within the limits; who was at a bundle last stays with it where that can be. None if not."""
        if sum(number for _, number in self._places(chosen)) < len(chosen):
            return None
        at: dict[int, int] = {}
        going_on_first = sorted(chosen, key=lambda bundle: bundle not in self.crew)
        if all(self._find(bundle, at, set()) for bundle in going_on_first):
            return {bundle: person for person, bundle in at.items()}
        return None

    def _find(self, bundle: int, at: dict[int, int], asked: set[int]) -> bool:
        """Augmenting path (H. W. Kuhn 1955): a free person, or one whose own bundle finds somebody else."""
        able = [person for person in self.diary.with_role(self.roles[bundle], self.people) if person not in asked]
        able.sort(key=lambda person: (person in at, person != self.last.get(bundle), len(self.diary.people[person].roles), person))
        for person in able:
            asked.add(person)
            if person not in at or self._find(at[person], at, asked):
                at[person] = bundle
                return True
        return False

    def _leeway(self, crew: Mapping[int, int], now: int) -> tuple[Seconds, frozenset[int]]:
        """For how long the crew can go on until some set of bundles would no longer fit before the end, and which set that is.

        A set loses slack at the rate at which it could be served now, less the rate at which it is served.
        """
        longest, pressing = self.end - now, frozenset[int]()
        if len(crew) == sum(1 for left in self.left if left):
            return longest, pressing
        for sets in product(*self._sets_by_role(crew)):
            members = [bundle for chosen, _ in sets for bundle in chosen]
            places = tuple(place for chosen, place in sets if chosen)
            loss = self.diary.filled(places, self.people) - sum(bundle in crew for bundle in members)
            if loss > 0:
                hands = self.diary.hands(places)
                slack = hands.done(self.end) - hands.done(now) - sum(self.left[bundle] for bundle in members)
                if slack // loss < longest:
                    longest, pressing = slack // loss, frozenset(members)
        return longest, pressing

    def _sets_by_role(self, crew: Mapping[int, int]) -> Iterator[list[tuple[tuple[int, ...], tuple[Role, int]]]]:
        """Per role the sets that can become tight: the longest of those served and of those waiting, in every mixture."""
        for role in self.roles_here:
            mine = [bundle for bundle, left in enumerate(self.left) if left and self.roles[bundle] is role]
            if not mine:
                continue
            mine.sort(key=lambda bundle: -self.left[bundle])
            served, waiting = [b for b in mine if b in crew], [b for b in mine if b not in crew]
            most = min(len(mine), self.limits[role])
            mixtures = [(here, there) for here in range(len(served) + 1) for there in range(len(waiting) + 1) if here + there < most]
            sets = [((*served[:here], *waiting[:there]), (role, here + there)) for here, there in mixtures]
            yield [*sets, (tuple(mine), (role, most))]
