"""Words for the moves of a request: what is missing for one, and what can be done next from a state."""

from configurator.domain.review import Need, State
from configurator.wording.marks import N_
from configurator.wording.words import Words

NEEDS: dict[Need, str] = {
    Need.REASON: N_("A reason is missing."),
    Need.SETTLED_CAUTIONS: N_("Some cautions are not settled yet."),
    Need.REASON_PER_CHANGE: N_("A changed line has no reason yet."),
    Need.EXPIRY_WITHIN_HELD_DATES: N_("The quote would be good for longer than its last date is held."),
    Need.EXPIRY_PASSED: N_("The quote has not run out yet."),
    Need.CURRENT_QUOTE: N_("There is a newer quote, or this one has run out."),
    Need.NAME_TYPED: N_("The name is missing."),
    Need.ACKNOWLEDGEMENTS: N_("Something that must be confirmed is not ticked."),
    Need.FREE_PLACE: N_("There is no free place in the bay then."),
    Need.CHECK_IN_RECORD: N_("The car is not checked in yet."),
    Need.TASKS_FINISHED: N_("Some tasks are neither done nor struck with a reason."),
    Need.CHECKLIST_SIGNED: N_("The checklist is not signed."),
    Need.BATCHES_NAMED: N_("A film has no roll or batch number yet."),
}

NEXT: dict[State, str] = {
    State.RECEIVED: N_("Take it first; then it can be reviewed and quoted."),
    State.IN_REVIEW: N_("Next comes the firm quote, or declining it with a reason."),
    State.QUOTED: N_("The customer decides now; you can write a new quote, which voids this one, or decline."),
    State.ACCEPTED: N_("Next it gets a place in the calendar."),
    State.SCHEDULED: N_("Next the car is checked in, or the appointment is moved."),
    State.IN_BAY: N_("Next it is handed over, once every task is done and signed."),
    State.HANDED_OVER: N_("It is finished."),
    State.DECLINED: N_("It is closed. A new request can be sent at any time."),
    State.WITHDRAWN: N_("It is closed. A new request can be sent at any time."),
    State.EXPIRED: N_("Take it again into review to write a new quote."),
}


def say_need(need: Need, words: Words) -> str:
    """What is missing."""
    return words.gettext(NEEDS[need])


def say_next(state: State, words: Words) -> str:
    """What can be done from here."""
    return words.gettext(NEXT[state])
