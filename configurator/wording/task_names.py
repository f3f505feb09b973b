"""What a reader calls a task of a work order: the panel, the part with its place, or the work itself."""

from configurator.domain.bay.checks import OFF_ROAD
from configurator.domain.bay.tasks import ON_THE_CAR, Task
from configurator.domain.work import Kind
from configurator.wording.words import Words

PLACES = ("front", "rear", "left", "right")


def task_title(task: Task, words: Words, *, body: str) -> str:
    """`Hood`, `Door handle, front left`, `Old film off: Hood`, `Wash and decontaminate`."""
    if task.part is not None:
        return part_title(task.part, task.panel or "", words)
    if task.panel is not None and task.kind in ON_THE_CAR:
        return words.name("panel", task.panel, body=body)
    name = words.name("operation", task.kind.value)
    if task.panel is None:
        return name
    return words.gettext("%(work)s: %(panel)s") % {"work": name, "panel": words.name("panel", task.panel, body=body)}


def part_title(part: str, id: str, words: Words) -> str:
    """A part with its place on the car, as far as its name doesn't say it already."""
    name = words.name("part", part)
    place = "_".join(token for token in id.split("_") if token in PLACES and token not in part.split("_"))
    if not place:
        return name
    return words.gettext("%(part)s, %(place)s") % {"part": name, "place": words.name("position", place)}


def way_title(task: Task, words: Words, *, body: str) -> str:
    """The same with what is done to a part: off or on."""
    title = task_title(task, words, body=body)
    if task.kind is Kind.PARTS_OFF:
        return words.gettext("%(part)s off") % {"part": title}
    if task.kind is Kind.PARTS_ON:
        return words.gettext("%(part)s back on") % {"part": title}
    return title


def check_title(code: str, words: Words) -> str:
    """What is ticked on the checklist."""
    if code.startswith(OFF_ROAD):
        lamp = words.name("lamp", code.removeprefix(OFF_ROAD))
        return words.gettext("%(lamp)s: the customer's acknowledgement of off-road or show use was seen") % {"lamp": lamp}
    return words.name("check", code)
