"""The seven steps of the configurator, in order."""

from enum import StrEnum

from configurator.wording.marks import N_


class Step(StrEnum):
    CAR = "car"
    COVERAGE = "coverage"
    FINISH = "finish"
    LAMPS = "lamps"
    EDGES = "edges"
    ESTIMATE = "estimate"
    SEND = "send"

    @property
    def following(self) -> "Step":
        """The next step; the last one stays."""
        steps = list(Step)
        return steps[min(steps.index(self) + 1, len(steps) - 1)]


NAMES = {
    Step.CAR: N_("Car"),
    Step.COVERAGE: N_("Coverage"),
    Step.FINISH: N_("Finish"),
    Step.LAMPS: N_("Lamps and glass"),
    Step.EDGES: N_("Edges"),
    Step.ESTIMATE: N_("Estimate"),
    Step.SEND: N_("Send"),
}

HEADINGS = {
    Step.CAR: N_("What are you driving?"),
    Step.COVERAGE: N_("What should be covered?"),
    Step.FINISH: N_("How should it look?"),
    Step.LAMPS: N_("Lamps and glass"),
    Step.EDGES: N_("How should the edges end?"),
    Step.ESTIMATE: N_("Your estimate"),
    Step.SEND: N_("Send it to the shop"),
}

LEADS = {
    Step.CAR: N_("The drawing, areas and price follow the shape and size of the car. Nobody needs its make."),
    Step.COVERAGE: N_("Start from a package, then tap panels on the drawing or tick them in the list."),
    Step.FINISH: N_("Film follows the paint unless you say otherwise. Changing a panel here changes it on the drawing."),
    Step.LAMPS: N_("Clear film guards a lens against stones. Smoke film also takes light away, so each choice shows how much is left."),
    Step.EDGES: N_("The same panels, three ways to finish their edges."),
    Step.ESTIMATE: N_("The shop confirms the price after seeing the car. Until then it is a range, and this is what moves it."),
    Step.SEND: N_("Sending costs nothing and books nothing. The shop looks at your plan and answers with a firm price."),
}

CONTINUE = {
    Step.CAR: N_("Continue to coverage"),
    Step.COVERAGE: N_("Continue to finish"),
    Step.FINISH: N_("Continue to lamps and glass"),
    Step.LAMPS: N_("Continue to edges"),
    Step.EDGES: N_("Continue to the estimate"),
    Step.ESTIMATE: N_("Continue to send"),
    Step.SEND: N_("Send the request"),
}


NAMES_OF_SCOPE = {**NAMES, Step.SEND: N_("Keep")}
CONTINUE_OF_SCOPE = {**CONTINUE, Step.ESTIMATE: N_("Compare and keep")}
"""Where the desk changes the scope of a request, the last step keeps it."""


def step_of(text: str) -> Step | None:
    """The step an address names; the first one when it names none; None when there is no such step."""
    if not text:
        return Step.CAR
    try:
        return Step(text)
    except ValueError:
        return None
