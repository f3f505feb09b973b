"""What a store may answer instead of doing as asked."""

from configurator.errors import TucklineError


class AlreadyThere(TucklineError):
    """A value that must be the only one of its kind is there already; `what` names it (`reference`, `idempotency_key`)."""

    code = "already_there"

    def __init__(self, what: str) -> None:
        self.what = what
        super().__init__(what)


class ChangedMeanwhile(TucklineError):
    """Somebody else changed the request since it was read; nothing was written."""

    code = "changed_meanwhile"


class StoreUnavailable(TucklineError):
    """The database doesn't answer, or stayed locked for too long. Trying again may help."""

    code = "store_unavailable"
