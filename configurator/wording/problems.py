"""What a failed address says: a title and what to do, by code (RFC 9457 problem types of ours)."""

from configurator.wording.marks import N_
from configurator.wording.words import Words

TITLES = {
    "bad_request": N_("This can't be read"),
    "conflict": N_("Something changed in the meantime"),
    "error": N_("This didn't work"),
    "estimate_stale": N_("The price has changed since you saw it"),
    "forbidden": N_("This is not yours to open"),
    "form_elsewhere": N_("This form was sent from another site"),
    "form_forged": N_("This form can't be accepted"),
    "form_missing": N_("This form can't be accepted"),
    "form_stale": N_("This form has been open for too long"),
    "form_too_quick": N_("That was too quick"),
    "gone": N_("This is no longer here"),
    "idempotency_key_reused": N_("This was already sent with other content"),
    "invalid_input": N_("Something in this can't be used"),
    "method_not_allowed": N_("This address can't be used like that"),
    "move_refused": N_("This step is not possible now"),
    "not_found": N_("There is nothing at this address"),
    "too_large": N_("This is too large"),
    "too_many_requests": N_("Too many requests in a short time"),
    "unexpected": N_("Something went wrong on our side"),
    "unsupported_media_type": N_("This kind of content can't be read here"),
}

HELP = {
    "bad_request": N_("Please go back and try again."),
    "conflict": N_("Please load the page again and look at what is there now."),
    "estimate_stale": N_("Please look at the new price and send it again."),
    "forbidden": N_("Sign in with an account that may see it, or ask the owner of the shop."),
    "form_elsewhere": N_("Please open the configurator again and send it from there."),
    "form_forged": N_("Please open the configurator again and send it from there."),
    "form_missing": N_("Please open the configurator again and send it from there."),
    "form_stale": N_("Your choices are kept in the address. Please load the page again and send it."),
    "form_too_quick": N_("Please wait a moment and send it again."),
    "gone": N_("It was removed or has run out."),
    "idempotency_key_reused": N_("Please load the page again and send it once."),
    "invalid_input": N_("Please go back and check what you entered."),
    "method_not_allowed": N_("Please go back and use the page's own buttons and links."),
    "move_refused": N_("Please load the page again and look at what is there now."),
    "not_found": N_("Check the address, or start again from the shop's page."),
    "too_large": N_("Please send less at a time."),
    "too_many_requests": N_("Please wait a minute and try again."),
    "unexpected": N_("Nothing of what you entered was kept. Please try again in a moment."),
    "unsupported_media_type": N_("Send JSON with the content type application/json."),
}


def problem_title(code: str, words: Words) -> str:
    """A short title for people."""
    return words.gettext(TITLES.get(code, TITLES["error"]))


def problem_help(code: str, words: Words) -> str:
    """What to do about it."""
    return words.gettext(HELP.get(code, HELP["bad_request"]))
