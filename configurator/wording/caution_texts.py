"""The words of every caution in `data/cautions.yaml`, by its code."""

from configurator.wording.marks import N_, Sentence

CAUTION_TEXTS: dict[str, Sentence] = {
    "after_care": N_(
        "Leave the film's edges alone and don't wash the car for the days your shop names, usually one to three. After that, "
        "keep a pressure washer at least 30 cm away."
    ),
    "airbags_behind_pillar_trim": N_("Airbags sit behind this trim. It stays closed, or is opened only by the vehicle maker's procedure."),
    "airbags_behind_trim": N_(
        "Airbags and their sensors sit behind pillar, roof and door trim. Follow the vehicle maker's procedure: battery off, "
        "then the maker's own waiting time. There is no waiting time that holds for all."
    ),
    "airbags_near_hidden_edges": N_(
        "Airbags sit behind the trim of pillars and roof rails. We hide film edges here without opening that trim, or only by "
        "the vehicle maker's procedure."
    ),
    "approval_may_lapse": N_(
        "Any film on an approved lamp, clear film too, can void its approval. Ask your testing body before you choose it."
    ),
    "blades": N_(
        "A blade on the car can mark paint, glass, rubber and sensors. Prefer pre-cut pieces and knifeless tape; never cut towards a seal."
    ),
    "blades_accept": N_(
        "Some edges are cut on the car, with knifeless tape where it can be done. You will be asked to accept the remaining "
        "risk in writing."
    ),
    "bumper_sensors": N_(
        "Once the bumper has been off, parking and radar sensors may need calibration. That is work for a shop that is qualified for it."
    ),
    "camera_mirrors": N_(
        "The camera in the mirror stays uncovered. If the mirror has to come off, the camera may need calibration by a qualified shop."
    ),
    "clips_break": N_("Clips and moldings can break when parts come off, older ones sooner. The price range allows for the usual number."),
    "coating_stripped": N_(
        "Wax or ceramic coating is stripped where film goes, because film needs bare paint. A warranty on the coating may end there."
    ),
    "correction_thins": N_(
        "Paint correction takes off a little clear coat. The paint is measured first, and we stop early where it is thin."
    ),
    "gloss_over_matte": N_("Gloss film on a matte surface makes it shine. Check that it is what the customer ordered."),
    "headlamp_aim": N_("The headlamps' aim is checked once the lamps are back in. Ask for the reading."),
    "headlamp_cover_au": N_("Covers that let less than 85 per cent of a headlamp's light through may not be supplied in Australia."),
    "headlamp_cover_us": N_(
        "The federal standard lets nothing lie in front of a headlamp in use, clear covers included. Whether film bonded to the "
        "lens counts is not settled in what we have read: check before you choose it."
    ),
    "heat": N_(
        "Keep a heat gun moving and the film's surface below about 60 to 90 °C. Never on fresh paint, a hot panel, a tire "
        "valve, a sensor or a battery cover, and never near solvent vapor."
    ),
    "high_voltage": N_(
        "Electric and hybrid cars: leave orange cables and their covers alone. Only trained staff switch the high voltage off, "
        "by the vehicle maker's procedure and waiting time."
    ),
    "high_voltage_tell_us": N_("Tell us if the car is electric or a hybrid: some parts then come off only with trained staff."),
    "impact_sensors": N_("Never strike an impact sensor. One that was dropped is scrapped and replaced."),
    "inspection_of_dimmed_lamps": N_("A roadworthiness test counts film that plainly dims a lamp or changes its color as a defect."),
    "lamp_film_haze": N_("Film on a lamp can scatter light once it hazes or yellows, and dazzle others. Have it replaced then."),
    "lamp_lens_solvents": N_("Polycarbonate lenses crack from strong solvents and too much heat. Use only what the lamp maker allows."),
    "light_check_locally": N_(
        "{share:percent} of the light is left here. Whether that is allowed depends on your car and your place: check locally. "
        "This is information, not legal advice."
    ),
    "light_forbidden": N_(
        "A published rule of this region forbids this. Off-road or show use alone, and only where the shop sells it at all."
    ),
    "light_likely_not_road_legal": N_(
        "With {share:percent} of the light left this is likely not road-legal: for off-road or show use alone, and that must be confirmed."
    ),
    "light_shop_in_breach": N_("A shop that makes a required lamp or glass inoperative is itself in breach, whatever the customer signed."),
    "no_rule_known": N_("We know of no rule for lamps and glass in this region. That does not mean there is none: check locally."),
    "old_film": N_(
        "Old film can lift weak or repainted paint, or leave adhesive behind. The panel's condition is recorded before we start."
    ),
    "paint_chipped": N_(
        "Film does not hide stone chips, and worn paint may lift when the film comes off one day. We look at it with you first."
    ),
    "paint_driven": N_("Fine scratches and chips show through clear film. Ask about paint correction if they bother you."),
    "parking_sensors": N_("Parking sensors stay free: the film is cut out round them, and they are tested before you get the car back."),
    "radar_behind_front": N_(
        "A radar may sit behind the bumper, badge or grille. No film and no metallic layer in front of it unless the vehicle "
        "maker allows it."
    ),
    "rear_camera": N_(
        "The reversing camera's plug sits here. Check the picture after refitting; it may need calibration by a qualified shop."
    ),
    "respray_fresh": N_(
        "This panel was repainted on {resprayed:date}. Fresh paint must cure before film: follow the painter's data sheet. "
        "Published waits range from 2 to 90 days."
    ),
    "respray_weak": N_("Film can lift refinished paint when it comes off. There is no guarantee on repainted panels."),
    "seals": N_("A seal is disturbed here. It must lie flat and dry again: water-test it before hand-over."),
    "solvents": N_(
        "Isopropyl alcohol burns from 11.7 °C and its vapor is limited to 400 ppm over a working day. Air the bay, wear gloves, "
        "and keep heat and sparks away."
    ),
    "wet_floor": N_("Slip solution makes floors slippery. Lift wide pieces with two people."),
    "windshield_camera": N_(
        "No film in front of the driver-assistance camera unless the vehicle maker allows it. It may need calibration "
        "afterwards, by a shop that is qualified for it."
    ),
    "windshield_wear": N_(
        "Windshield film wears: wipers and grit haze it within a year or so, and haze dazzles at night. Have it replaced in time."
    ),
    "windshield_zones": N_(
        "Rain sensor, head-up display, heated and antenna zones stay uncovered unless the vehicle maker allows film there. Tell "
        "us which ones your car has."
    ),
    "work_at_height": N_("Work on the roof from a stable platform, not from the sill or a wheel."),
}
