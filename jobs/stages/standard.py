"""The trade's usual stages, holds and cautions for a new shop. Common practice, no source.

A shop starts from these and may change its own copies (StageTemplate).
"""

from typing import Any

MAKER_FIRST = "Follow the chassis and part makers' instructions and local codes."


def caution(word: str, hazard: str, consequence: str, avoid: str) -> dict[str, str]:
    """One hazard panel in the order of its text: hazard, consequence, how to avoid it."""
    return {
        "word": word,
        "hazard": hazard,
        "consequence": consequence,
        "avoid": f"{avoid} {MAKER_FIRST}",
    }


AIRBAG = caution(
    "WARNING",
    "Airbags can fire during work.",
    "They can kill or injure.",
    "Disconnect the battery and wait the time the chassis maker states before touching seat, "
    "pillar, column or curtain wiring. Never put an ohmmeter on an airbag circuit.",
)
BATTERY = caution(
    "WARNING",
    "Batteries hold acid and gas and can deliver very high current.",
    "Burns, fire or explosion can injure or kill.",
    "Negative off first and on last; insulated tools; eye protection; take the fuse out before "
    "working on a cable.",
)
DRILLING = caution(
    "WARNING",
    "Fuel, brake, airbag and high-voltage lines run behind panels.",
    "Drilling into them can kill or injure.",
    "A second person looks at the far side; use a stop collar and the no-drill map.",
)
LIFTING = caution(
    "CAUTION",
    "Some parts weigh more than 50 lb.",
    "Lifting alone can injure your back.",
    "Two persons or a hoist; the weight stands beside the part.",
)
MAINS = caution(
    "DANGER",
    "120 V from shore power or the inverter.",
    "Touching live parts will kill or seriously injure.",
    "Unplug shore power and switch off the inverter; it can start by itself. A qualified person "
    "does this work where the law requires it.",
)
SIREN = caution(
    "WARNING",
    "Siren and air horn are loud enough to harm hearing.",
    "Hearing loss can be permanent.",
    "Ear protection, clear the bay, keep the shop mute on until the siren test.",
)
MAST = caution(
    "DANGER",
    "A raised mast can touch overhead power lines.",
    "Contact will kill or seriously injure.",
    "Look overhead, keep at least 10 ft from lines up to 50 kV and more above, use a spotter, "
    "stow before moving.",
)


# In a fleet, later units pass these only once the first unit is released.
FLEET_HOLDS = ("H2", "H3", "H4", "H5", "H6")


def stage(
    code: str,
    name: str,
    needs: str = "",
    *,
    holds: tuple[tuple[str, str, str], ...] = (),
    cautions: tuple[dict[str, str], ...] = (),
    do: str = "",
) -> dict[str, Any]:
    return {
        "code": code,
        "name": name,
        "prerequisites": needs.split(),
        "holds": [
            dict(zip(("code", "requirement", "criterion"), h, strict=True))
            | {"first_article": h[0] in FLEET_HOLDS}
            for h in holds
        ],
        "cautions": list(cautions),
        "instructions": do,
    }


STANDARD_STAGES: tuple[dict[str, Any], ...] = (
    stage(
        "S0",
        "Check-in",
        do="VIN from the plate, keys, damage, fault codes, key-off draw, battery test, weighing.",
    ),
    stage(
        "S1",
        "Protect and strip",
        "S0",
        holds=(
            ("H0", "Options match the order", "Every ordered factory option found on the vehicle"),
        ),
        cautions=(AIRBAG, BATTERY),
        do="Seats and trim out, bagged and labelled. Photos before and after.",
    ),
    stage(
        "S2",
        "Drill and mount structure",
        "S1",
        holds=(
            (
                "H1",
                "Drilling marks checked",
                "A second person has looked at the far side of every mark",
            ),
        ),
        cautions=(DRILLING, LIFTING),
        do="Mark, check the underside, drill, deburr, prime, seal.",
    ),
    stage(
        "S3",
        "Roof and antennas",
        "S2",
        cautions=(DRILLING, LIFTING),
        do="Holes, plates, seal, coax. Keep drips out of the headliner.",
    ),
    stage(
        "S4",
        "Power backbone",
        "S2",
        cautions=(BATTERY,),
        do="Feeds, breakers open, bus bars, grounds. Torque stripe and photo on every stud.",
    ),
    stage(
        "S5",
        "Harness",
        "S4",
        do="Pre-built on the board. Clamp at most 18 in apart, label both ends, grommets in holes.",
    ),
    stage(
        "S6",
        "Devices out",
        "S3 S5",
        cautions=(LIFTING, MAST),
        do="Heads, bar, siren, scene lights, mast.",
    ),
    stage(
        "S7",
        "Cab and computers",
        "S5",
        cautions=(AIRBAG,),
        do="Console, radios, dock, cameras. Photo of the airbag clearance with a rule beside it.",
    ),
    stage(
        "S8",
        "120 V",
        "S4",
        cautions=(MAINS, BATTERY),
        do="Inverter, inlet, panel, receptacles. One neutral bond only.",
    ),
    stage(
        "S9",
        "Interior",
        "S5 S8",
        holds=(
            ("H2", "Water test before the headliner", "Dry behind the trim after the hose test"),
            ("H4", "Do not close panels", "Harness, voltage drops and fixings inspected"),
        ),
        cautions=(LIFTING,),
        do="Cabinets, desk, tray, partition.",
    ),
    stage(
        "S10",
        "Power up and program",
        "S6 S7 S9",
        holds=(
            (
                "H3",
                "120 V checked before energising",
                "Polarity, ground and bond readings recorded",
            ),
            ("H5", "First power", "No short on any feed; every breaker open"),
        ),
        cautions=(BATTERY, SIREN),
        do="Meter each feed for shorts, close one breaker at a time, load the configuration.",
    ),
    stage(
        "S11",
        "Functions",
        "S10",
        cautions=(SIREN, MAST),
        do="Rule by rule, input by input, with a second person.",
    ),
    stage(
        "S12", "Graphics", "S3", do="After roof and wash, surface at least 60 °F, film lot noted."
    ),
    stage(
        "S13",
        "Quality checks",
        "S11 S12",
        cautions=(SIREN, MAST, MAINS),
        do="By people who did not do the work.",
    ),
    stage(
        "S14",
        "Finish and deliver",
        "S13",
        holds=(("H6", "Released", "Every critical check passed, no open defect"),),
        do="Clean, charge, count tools and keys, packet, training.",
    ),
)
