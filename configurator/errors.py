"""The family of errors. They know codes, paths and facts; no HTTP status and no sentence."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType


@dataclass(frozen=True)
class Fault:
    """One thing wrong with an input: where (`vehicle.size.length_mm`), what (`too_small`), and the facts for its text."""

    path: str
    code: str
    facts: Mapping[str, object] = field(default_factory=lambda: MappingProxyType({}))


class TucklineError(Exception):
    """Root of everything that Tuckline raises on purpose."""

    code = "error"


class InvalidInput(TucklineError):
    """What came in can't be used; nothing of it was. Carries every fault that was found."""

    code = "invalid_input"

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__("; ".join(f"{fault.path}: {fault.code}" for fault in self.faults))


class InvalidData(TucklineError):
    """A data file (price book, body style, rule set) can't be used. Names the file; faults name the path inside it."""

    code = "invalid_data"

    def __init__(self, file: str, faults: Iterable[Fault]) -> None:
        self.file = file
        self.faults = tuple(faults)
        super().__init__(f"{file}: " + "; ".join(f"{fault.path}: {fault.code} {dict(fault.facts) or ''}".rstrip() for fault in self.faults))
