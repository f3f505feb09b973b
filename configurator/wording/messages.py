"""Code -> sentence, for everything that the domain says (`Message`) and for every `Fault`. English is the msgid itself.

A gap `{respray:date}` is the fact `respray`, printed as a day; see `configurator.wording.filling` for the formats. A sentence that
bends with a number is an `NP_(one, many, by=fact)`. One line for each code, sorted within its section.
"""

from configurator.wording.caution_texts import CAUTION_TEXTS
from configurator.wording.marks import N_, Sentence

MESSAGES: dict[str, Sentence] = {
    # cautions
    **CAUTION_TEXTS,
    # light
    "glass_assumed": N_("Your windshield glass is taken to let {share:percent} of light through, as is usual. It must be measured."),
}

FAULTS: dict[str, Sentence] = {
    # documents and queries
    "document_too_large": N_("The document is larger than {bytes} bytes."),
    "duplicate_name": N_("The name “{name}” stands here twice."),
    "missing": N_("This is needed."),
    "must_be_a_date": N_("This must be a date such as 2027-03-08."),
    "must_be_a_list": N_("This must be a list."),
    "must_be_a_number": N_("This must be a number."),
    "must_be_an_object": N_("This must be an object with named values."),
    "must_be_text": N_("This must be text."),
    "must_be_true_or_false": N_("This must be true or false."),
    "must_be_whole": N_("This must be a whole number."),
    "must_be_yes_or_no": N_("This must be yes or no."),
    "must_not_be_null": N_("This must not be empty (null)."),
    "named_twice": N_("This is named twice."),
    "nested_too_deeply": N_("The document is nested more than {levels} levels deep."),
    "not_a_choice": N_("“{id}” is not a choice here; the choices are: {choices}."),
    "not_a_number": N_("“{name}” is not a number in JSON."),
    "not_json": N_("This is not JSON (line {line}, column {column})."),
    "not_utf8": N_("This is not UTF-8 text."),
    "number_out_of_range": N_("A number here is too large or too long."),
    "stripes_form": N_("Stripes are written as count, width, gap, offset, finish and, if there is a border, its width and finish."),
    "text_too_long": N_("This is longer than {most} characters."),
    "too_large": N_("This may be at most {most}."),
    "too_many": N_("There may be at most {most} of these."),
    "too_small": N_("This must be at least {least}."),
    "unknown_id": N_("“{id}” is not known here."),
    "unknown_key": N_("This name is not known here."),
    "unreadable_text": N_("This holds characters that can't be kept."),
    # requests
    "date_past": N_("This day is over; the first that can be asked for is {first:date}."),
    "email_invalid": N_("This is not an e-mail address that mail can be sent to, such as name@example.com."),
    "nothing_chosen": N_("Nothing is chosen yet. Choose at least one panel, lamp or the windshield."),
    "phone_invalid": N_("This is not a phone number. Write it with its area code, or begin with + and the country."),
    # light
    "acknowledgement_missing": N_("Please confirm that this choice is for off-road or show use only: {lamp:lamp}."),
    "forbidden_not_sold": N_("This shop does not sell this film on {lamp:lamp}: a published rule of your region forbids it."),
}

NOT_USABLE = N_("This can't be used here.")
