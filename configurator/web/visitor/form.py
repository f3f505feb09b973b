"""From a step's form to the flat query of the contract.

A form sends plain contract keys where a control is one (`paint=matte`), and helper fields that start with `f.` where it can't
be (ticks that mean 'add' or 'remove', a size in inches, a row for a resprayed panel). Everything that a step doesn't edit
travels in hidden fields. The result is the address of the plan: what is linked, bookmarked and shared.
"""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass

from werkzeug.datastructures import MultiDict

from configurator.web.visitor.car_form import car_pairs
from configurator.web.visitor.coverage_form import coverage_pairs
from configurator.web.visitor.finish_form import finish_pairs
from configurator.web.visitor.look import KEYS as LOOK_KEYS
from configurator.web.visitor.steps import Step

Pair = tuple[str, str]
PackagePanels = Callable[[Iterable[Pair], str], tuple[str, ...]]
"""Panels that a package covers on the car of these pairs."""

HELPER = "f."
FORM = "f.form"
GO = "go"
CHANGED = "f.changed"
PAGE_KEYS = {"step", GO, *LOOK_KEYS}

OWNED: Mapping[Step, tuple[str, ...]] = {
    Step.CAR: (
        "body", "length_mm", "width_mm", "height_mm", "wheelbase_mm", "length_in", "width_in", "height_in", "wheelbase_in", "paint",
        "feature", "fuel_door", "surface.", "stripes", "paint_condition", "resprayed.", "correction", "remove_film", "coated",
    ),
    Step.COVERAGE: ("package", "add", "remove"),
    Step.FINISH: ("finish", "finish.", "stripes"),
    Step.LAMPS: ("lamp.", "windshield", "region"),
    Step.EDGES: ("edges",),
    Step.ESTIMATE: ("drop_off",),
    Step.SEND: (),
}  # fmt: skip
"""Contract keys that a step's form edits; a name that ends with a dot stands for all keys that begin with it."""


@dataclass(frozen=True)
class Form:
    """What a step's form sent: which step it was, and its fields in order."""

    step: Step
    fields: MultiDict[str, str]


def is_page_key(key: str) -> bool:
    """Keys of the page and not of the plan: step, look, and the form's helper fields."""
    return key in PAGE_KEYS or key.startswith(HELPER)


def owns(step: Step, key: str) -> bool:
    """Whether a step's form edits this key."""
    return any(key == name or (name.endswith(".") and key.startswith(name)) for name in OWNED[step])


def carried(step: Step, pairs: Iterable[Pair]) -> list[Pair]:
    """The pairs that a step's form has to carry hidden, because it has no control for them."""
    return [(key, value) for key, value in pairs if not owns(step, key)]


def plan_pairs(form: Form, package_panels: PackagePanels) -> list[Pair]:
    """The plan's pairs after a form was sent: its contract keys as they are, its helper fields turned into contract keys."""
    plain = [(key, value) for key, value in form.fields.items(multi=True) if not is_page_key(key) and value]
    if form.step is Step.CAR:
        return plain + car_pairs(form.fields)
    if form.step is Step.COVERAGE:
        return plain + coverage_pairs(form.fields, lambda package: package_panels(plain, package))
    if form.step is Step.FINISH:
        return plain + finish_pairs(form.fields)
    return plain
