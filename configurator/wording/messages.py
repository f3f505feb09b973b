"""Code -> sentence, for everything that the domain says (`Message`) and for every `Fault`. English is the msgid itself.

A gap `{respray:date}` is the fact `respray`, printed as a day; see `configurator.wording.filling` for the formats. A sentence that
bends with a number is an `NP_(one, many, by=fact)`. Of several sentences the first is said whose gaps the facts can fill. One line
for each code, sorted within its section.
"""

from configurator.wording.caution_texts import CAUTION_TEXTS
from configurator.wording.marks import N_, Sentence

MESSAGES: dict[str, Sentence | tuple[Sentence, ...]] = {
    # cautions
    **CAUTION_TEXTS,
    # light
    "glass_assumed": N_("Your windshield glass is taken to let {share:percent} of light through, as is usual. It must be measured."),
    "no_minimum_known": N_("We know of no published minimum for these lamps in this region: {lamp:lamp}."),
    # what must be known of a film plan
    "deep_missing": N_("The nesting solver isn't installed here: this is the quick plan."),
    "deep_failed": N_("The nesting solver failed on a part of this plan; the quick plan stands there."),
    "deep_out_of_time": N_("Time was up before the nesting solver was through; the best plan found by then stands."),
    "quick_was_cheaper": N_("The nesting solver found nothing cheaper: this is the quick plan."),
    # what the estimate takes for granted
    "car_not_seen": N_("The estimate is made without seeing the car or its photos."),
    "drop_off_assumed": N_("The dates are worked out as if the car came on {day:date}."),
    "drop_off_moved": N_("The shop is closed on {asked:date}; the dates are worked out for {day:date}."),
    "features_assumed": N_("The car is taken to have what its body usually has. Say what yours has to make the estimate closer."),
    "lamp_suggested": N_("{lamp:lamp}: {film:lamp_film}, as this package suggests."),
    "region_assumed": N_("Rules for lamps and glass: {region:region}."),
    "size_assumed": N_(
        "The size is the usual one for this body where you gave none: {length_mm:length} long, {width_mm:length} wide, "
        "{height_mm:length} high, wheelbase {wheelbase_mm:length}."
    ),
    # what film does on a surface, and why a panel has none
    "covered_below": N_("Film goes up to {height_mm:length} above the ground; its edge stays visible there."),
    "covered_in_front": N_("Film covers the front {depth_mm:length}; its edge stays visible there."),
    "film_on_bright_trim": N_("Small pieces, trimmed by hand."),
    "film_on_carbon_matte": N_("The texture of bare carbon fiber may keep film from bonding: the shop looks at it first."),
    "film_on_gloss_plastic": N_("Gloss plastic is softer than paint and shows swirls first."),
    "film_on_vinyl": N_("Film on a decal pulls the decal off when the film comes off one day: the shop looks at it first."),
    "gloss_on_matte": N_("Gloss film makes a matte surface shine. The matte film keeps the look."),
    "matte_on_gloss": N_("Matte film takes the shine off gloss paint."),
    "no_film_on_black_trim": N_("Film can't hold on black trim."),
    "no_film_on_fabric": N_("Film can't hold on fabric."),
    "no_film_on_laminated_glass": N_("Glass takes no body film. The windshield has a film of its own."),
    "no_film_on_lens": N_("Lamps take no body film. They have a film of their own."),
    "no_film_on_tempered_glass": N_("Side and rear glass takes no film on the outside."),
    "no_film_on_textured_plastic": N_(
        "Film can't bond to grained plastic: it lets moisture and dirt in and peels. Such parts are made to be replaced."
    ),
    "no_film_on_textured_plastic_filmable": N_(
        "Film can't bond to grained plastic: it lets moisture and dirt in and peels. A new part costs about "
        "{replacement:money}; one in a finish that takes film about {filmable:money}."
    ),
    "no_film_on_textured_plastic_replace": N_(
        "Film can't bond to grained plastic: it lets moisture and dirt in and peels. Such parts are made to be replaced: a new "
        "one costs about {replacement:money}."
    ),
    "respray_too_fresh": N_(
        "Repainted on {resprayed:date}: film can go on from {ready:date}, after {wait_days:days} of curing. The painter's data "
        "sheet has the last word."
    ),
    "within_covered_panel": N_("Has its film already: the whole panel is covered ({host:panel})."),
    # why a place in the calendar isn't free
    "block_leaves_short": N_("{day:date} ({role:role}): {needs_h:hours} are booked, {left_h:hours} would be left."),
    "place_bay_blocked": N_("Bay {bay:number} is blocked from {start:datetime} to {end:datetime}: {reason}."),
    "place_bay_held": N_("Bay {bay:number} is taken by {reference} from {start:datetime} to {end:datetime}."),
    "place_closed": N_("No car can be taken in on {asked:datetime}. The next time is {opens:datetime}."),
    "place_hands_short": N_(
        "On {day:date} the hands don't suffice ({role:role}): this car needs {needs_h:hours}, {left_h:hours} are left."
    ),
    "place_no_such_bay": N_("There is no bay {bay:number}; the shop has {bays:number}."),
    "place_past": N_("{asked:datetime} has passed."),
    "place_too_far": N_("The calendar runs to {last:date}."),
    # price lines
    "line_consumables": N_("Slip solution, alcohol, blades and towels for {area_m2:area}."),
    "line_discount": N_("{share:percent} off the work for the package {package:package}."),
    "line_film": N_("{metres:number} m of film for {area_m2:area} of pieces with their margins."),
    "line_labour": N_("{hours:hours} of laying, turning and trimming film."),
    "line_lamp_film": N_("{metres:number} m of lamp film for {area_m2:area} of pieces."),
    "line_minimum": N_("The shop's minimum charge is {minimum:money}."),
    "line_overhead": N_("Bay, light, air and insurance for {hours:hours} of work, and the booking."),
    "line_parts": N_("Parts that come off and go back on: {parts:number}, {hours:hours} of work."),
    "line_prep": N_("Check-in, wash, preparation and inspection: {hours:hours}."),
    "line_risk": N_("What a piece cut again or a broken clip costs on average: {pieces:number} pieces, {parts:number} parts."),
    "line_rounding": N_("To the shop's step of {step:money}."),
    "line_spread": N_("Jobs scatter more upward than downward; this brings the sum of the averages to the typical price."),
    "line_tax": N_("Tax contained in the price at {rate:percent}."),
    "line_windshield_film": N_("{metres:number} m of windshield film for {area_m2:area} of pieces."),
}

FAULTS: dict[str, Sentence | tuple[Sentence, ...]] = {
    # the calendar
    "block_not_in_order": N_("The end must lie after the beginning, and within a year of it."),
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
    "not_a_choice": (
        N_("“{id}” is not a choice here; the choices are: {choices}."),
        N_("This is not a choice here; the choices are: {choices}."),
    ),
    "not_a_number": N_("“{name}” is not a number in JSON."),
    "not_json": N_("This is not JSON (line {line}, column {column})."),
    "not_utf8": N_("This is not UTF-8 text."),
    "number_out_of_range": N_("A number here is too large or too long."),
    "stripes_form": N_("Stripes are written as count, width, gap, offset, finish and, if there is a border, its width and finish."),
    "text_too_long": N_("This is longer than {most} characters."),
    "too_large": (N_("This must be between {min_mm:length} and {max_mm:length}."), N_("This may be at most {most}.")),
    "too_many": N_("There may be at most {most} of these."),
    "too_small": (N_("This must be between {min_mm:length} and {max_mm:length}."), N_("This must be at least {least}.")),
    "unknown_id": N_("“{id}” is not known here."),
    "unknown_key": N_("This name is not known here."),
    "version_published": N_("Version {version} was published with other figures. Give the new figures a new version."),
    "unreadable_text": N_("This holds characters that can't be kept."),
    # requests
    "expiry_after_last_date": N_("The quote can't hold for longer than its last offered date."),
    "line_below_zero": N_("A line can't fall below zero. Add a line with a deduction instead."),
    "must_be_ticked": N_("Please tick this to go on."),
    "offer_taken": N_("{day:date} is not free any more. Pick another date."),
    "pick_a_date": N_("Pick one of the dates, or say that none of them fits."),
    "price_below_zero": N_("The price would fall below zero."),
    "reason_per_change": N_("Say why: a change without a reason can't be saved."),
    "too_far_ahead": N_("This may be at most {most} days ahead."),
    "date_past": N_("This day is over; the first that can be asked for is {first:date}."),
    "code_wrong": N_("That code does not fit, or was used already. Type the one showing now."),
    "email_invalid": N_("This is not an e-mail address that mail can be sent to, such as name@example.com."),
    "email_taken": N_("Somebody of the staff has this address already."),
    "last_owner": N_("This is the only owner. Make somebody else an owner first, or nobody can run the shop's settings."),
    "nothing_chosen": N_("Nothing is chosen yet. Choose at least one panel, lamp or the windshield."),
    "nothing_coverable": N_("Film can't go on anything that is chosen. Choose another panel, a lamp or the windshield."),
    "password_guessable": N_("This password is easy to guess. Use several words that have nothing to do with you."),
    "password_wrong": N_("This is not your password."),
    "password_short": N_("A password needs at least {least} characters; a few words are easy to remember."),
    "pin_form": N_("A PIN is {least} to {most} digits."),
    "pin_guessable": N_("This PIN is easy to guess. Use digits that neither repeat nor count."),
    "phone_invalid": N_("This is not a phone number. Write it with its area code, or begin with + and the country."),
    # light
    "acknowledgement_missing": N_("Please confirm that this choice is for off-road or show use only: {lamp:lamp}."),
    "candela_out_of_range": N_("This must be more than 0 and at most {most:number} candela."),
    "forbidden_not_sold": N_("This shop does not sell this film on {lamp:lamp}: a published rule of your region forbids it."),
    "share_out_of_range": N_("This must lie between {least:percent} and 100 %."),
    # forms that are sent
    "estimate_stale": N_("The price has changed since you saw it. Please look at the new one, then send again."),
    "form_elsewhere": N_("This form was sent from a page that isn't ours. Please send it from here."),
    "form_forged": N_("This form can't be accepted. Please load the page again and send it from there."),
    "form_missing": N_("This form can't be accepted. Please load the page again and send it from there."),
    "form_stale": N_("This page has been open for too long. Nothing you entered is lost: please send it again."),
    "site_needs_https": N_(
        "Plain http can be changed by anyone on the way, so it is allowed only on your own machine. "
        "If the site also answers under https, list {origin}."
    ),
    "site_no_brackets": N_("A policy can't name an address in brackets. Use the site's name."),
    "site_no_path": N_("A site is listed as a whole, without what follows its name: {origin}"),
    "site_no_star": N_(
        "A star would also let in pages that you don't know, such as another customer's on the same host. List each site by its full name."
    ),
    "site_not_an_address": N_("This is not the address of a site. It looks like https://www.example.com."),
    "site_there_already": N_("{origin} is on the list already."),
    "site_too_many": N_("The list holds at most {most} sites. Take off one that is no longer used."),
    "form_too_quick": N_("That was very quick. Please look it over and send it again."),
    "idempotency_key_reused": N_("This was already sent with other content. Please load the page again and send it once."),
    "invalid_value": N_("This can't be used here."),
    # the choice of a visitor
    "added_and_removed": N_("{panel:panel} is added and taken out at once."),
    "borders_overlap": N_("With these borders the gap must be at least {least:length}."),
    "day_out_of_range": N_("The day must lie between {earliest:date} and {latest:date}."),
    "fabric_takes_no_film": N_("Film can't hold on a fabric roof."),
    "feature_not_on_this_body": N_("This body can't have this: {feature:feature}."),
    "glass_is_no_panel": N_("Glass takes no body film: choose windshield film by its own choice."),
    "lamp_is_no_panel": N_("Lamps take no body film: choose lamp film by its own choice."),
    "no_such_lamps": N_("This car has none of these: {lamp:lamp}."),
    "nothing_open": N_("Nobody who could do the work is in within the {years} years after {since:date}."),
    "stripes_beyond_car": N_("The stripes reach {reach_mm:length} from the middle, but the car ends at {half_width_mm:length}."),
    "photo_damaged": N_("This file is damaged, or was cut off on its way. Please send the photo again."),
    "photo_heic_unreadable": N_("This server can't read HEIC photos. Please send it as JPEG."),
    "photo_missing": N_("Please choose a photo first."),
    "photo_not_an_image": N_("This is not a photo that we can take. Please send JPEG, PNG, WebP or HEIC."),
    "photo_too_large": N_("This file is larger than {most} MB. Please send a smaller one."),
    "photo_too_many_pixels": N_("This photo has more than {most} million pixels. Please send a smaller one."),
    "photos_too_many": N_("There are {most} photos already, and that is as many as fit. Take one away first."),
    "unknown_body": N_("“{body}” is not a body we know."),
    "unknown_finish": N_("This shop has no film in the finish “{finish}”."),
    "unknown_panel": N_("This car has no panel “{panel}”."),
    "unknown_region": N_("This shop has no rules for the region “{region}”."),
    "wheelbase_does_not_fit_length": N_(
        "With a length of {length_mm:length} the wheelbase must be between {min_mm:length} and {max_mm:length}."
    ),
    "windshield_film_not_sold": N_("A windshield takes clear film only."),
    # the bay
    "choose_one": N_("Choose one of these."),
    "not_between": N_("This must be between {least} and {most}."),
    "not_readings": N_("Type one to {most} whole numbers, in micrometers."),
    # data files
    "bad_region_id": N_("A region's id is lower-case letters, digits and underscores, at most 20."),
    "cannot_be_built": N_("The body can't be built: {why}."),
    "chain_of_parts": N_("“{part}” must itself come after another part; a part may wait for one step only."),
    "crosses_itself": N_("This outline crosses itself."),
    "does_not_rise": N_("The points must rise from one to the next."),
    "edges_out_of_order": N_("Trimmed may not be more than wrapped, nor wrapped more than hidden."),
    "empty_list": N_("This list is empty."),
    "ends_before_it_starts": N_("This ends before it starts."),
    "file_too_large": N_("The file is larger than {most_bytes} bytes."),
    "id_is_not_the_file_name": N_("The id must be the name of the file, {file}."),
    "limit_without_share": N_("A limit needs a share, or a least and a most."),
    "maximum_below_minimum": N_("The maximum lies below the minimum of {least}."),
    "must_be_a_time": N_("This must be a time such as 08:30."),
    "must_run_from_middle_to_middle": N_("This outline must start and end on the middle line."),
    "no_film_for_finish": N_("There is no film in the finish “{finish}”, which paint is matched with."),
    "no_lamp_film": N_("There is no lamp film of the grade “{grade}”."),
    "no_rate_for_included_tax": N_("Prices that include tax need its rate."),
    "no_rolls": N_("This film has no rolls."),
    "no_rules_for_region": N_("There is no rule set for the region “{region}”."),
    "nobody_for_role": N_("Nobody is in for this role on a day when the shop is open: {role:role}."),
    "not_a_colour": N_("This must be a color such as #1a2b3c."),
    "not_a_multiple_of_step": N_("This must be a multiple of the step, {step}."),
    "not_a_point": N_("A point here has {numbers} numbers."),
    "not_a_range": N_("A range is two numbers, the lesser first."),
    "not_above": N_("This must be more than {other}."),
    "not_in_currency_units": N_("This must be a whole number of the currency's smallest unit, {unit}."),
    "not_one_windshield_film": N_("There must be exactly one windshield film."),
    "not_positive": N_("This must be more than 0."),
    "not_three_times": N_("This must be three times: least, usual, most."),
    "not_two_times": N_("This must be two times: start and end."),
    "not_yaml": N_("This is not YAML: {why}."),
    "off_the_body": N_("This point lies {by_mm:length} beside the body."),
    "panel_missing": N_("The body has no {panel:panel}."),
    "region_is_not_the_file": N_("The file {file} must be named for its region, {region}."),
    "package_cheaper_than_smaller": N_("On the body {body:body} this package comes out cheaper than {smaller:package}, which it takes in."),
    "not_enough_film": N_("The rolls at hand don't take every piece of this film: {film:film}."),
    "same_id_twice": N_("The id {id} stands here twice."),
    "width_without_cost": N_("The price book has no roll of this width: say what a meter costs (cost_per_m)."),
    "same_name_twice": N_("Two people have the name {name}."),
    "same_width_twice": N_("The same roll width stands here twice."),
    "setback_beyond_margin": N_("A piece may not be cut back by more than its margin."),
    "smaller_package_not_taken_in": N_("This package must cover all of the smaller one, {package:package}; it leaves out {left_out}."),
    "times_out_of_order": N_("The times must rise."),
    "too_few_points": N_("There must be at least {least} points."),
    "two_films_alike": N_("Another film has the same finish or grade."),
    "unknown_holiday_country": N_("No public holidays are known for the country “{country}”; its ISO 3166-1 code is needed."),
    "unknown_holiday_subdivision": N_("No public holidays of their own are known for “{subdivision}” in {country}."),
    "unknown_part": N_("There is no part “{part}” to wait for."),
    "unknown_time_zone": N_("This is not a time zone of the IANA database."),
    "unreadable_file": N_("The file can't be read: {why}."),
}

NOT_USABLE = N_("This can't be used here.")
