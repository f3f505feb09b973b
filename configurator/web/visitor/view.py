"""What a page is asked for."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from configurator.errors import Fault
from configurator.web.visitor.look import Look
from configurator.web.visitor.plan import Plan
from configurator.web.visitor.sent_fields import NOTHING_SENT, SentFields
from configurator.web.visitor.steps import Step


@dataclass(frozen=True)
class View:
    """Step, plan, and how it came about.

    `faults` is what could not be used of what was sent, `typed` the fields as they were typed. `live`: only the part that changes is
    asked for, `have` are the digests of drawings that the browser has, `changed` the control that was changed. `sent` are the
    fields of the last step's form, `form_token` its token where that still holds: a new one would make a person wait again.
    """

    look: Look
    step: Step
    plan: Plan
    side: str = "left"
    faults: tuple[Fault, ...] = ()
    typed: Mapping[str, str] = field(default_factory=dict)
    live: bool = False
    have: frozenset[str] = frozenset()
    changed: str = ""
    sent: SentFields = NOTHING_SENT
    form_token: str = ""
