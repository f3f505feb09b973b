"""Parts that come off before the film and go back on after it: in which order, by whom, how long.

Each side of a pair takes its full time. The second side goes faster in truth, but a part that gets quicker because another one
was added would let the schedule of two people bring the car back earlier for more work.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence

from configurator.domain.price_book import PriceBook, Triple
from configurator.domain.scope import PartOff
from configurator.domain.work import Kind, Operation, Role


def in_order(parts: Iterable[PartOff], book: PriceBook) -> tuple[PartOff, ...]:
    """The order in which parts come off: what others wait for first (the bumper before the headlamps), else as they stand."""
    return tuple(sorted(parts, key=lambda part: bool(book.parts[part.part].after)))


def parts_off(parts: Sequence[PartOff], book: PriceBook, *, after: str) -> Iterator[Operation]:
    """One operation per part, in the order of `parts`; `after` is the last one before any part comes off."""
    waits = _waits(parts, book)
    for part in parts:
        before = tuple(f"off_{other}" for other in waits[part.id]) or (after,)
        yield _operation(Kind.PARTS_OFF, f"off_{part.id}", part, book.parts[part.part].off, after=before)


def parts_on(parts: Sequence[PartOff], book: PriceBook, *, film: Sequence[Operation]) -> Iterator[Operation]:
    """The same parts back on, last off first on, each when the film it makes way for is on and what waited for it is back."""
    waits = _waits(parts, book)
    laid = {operation.panel: operation.id for operation in film}
    for part in reversed(parts):
        done = tuple(laid[panel] for panel in part.frees if panel in laid)
        back = tuple(f"on_{other.id}" for other in parts if part.id in waits[other.id])
        yield _operation(Kind.PARTS_ON, f"on_{part.id}", part, book.parts[part.part].on, after=(*done, *back))


def _operation(kind: Kind, id: str, part: PartOff, times: Triple, *, after: tuple[str, ...]) -> Operation:
    return Operation.timed(kind, times, id=id, role=Role(part.role), zone=part.zone, panel=part.id, after=after)


def _waits(parts: Sequence[PartOff], book: PriceBook) -> Mapping[str, tuple[str, ...]]:
    """Part id -> ids of the parts that must be off before it."""
    of_kind: dict[str, tuple[str, ...]] = {}
    for part in parts:
        of_kind[part.part] = (*of_kind.get(part.part, ()), part.id)
    return {part.id: tuple(id for kind in book.parts[part.part].after for id in of_kind.get(kind, ())) for part in parts}
