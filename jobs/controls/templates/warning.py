"""Warning lights, siren and arrows: R01 to R14 and R18."""

from jobs.controls.templates.apply import Parameter, Template

TEMPLATES = (
    Template(
        key="R01",
        title="Rear warning",
        why="The first step of the slide warns to the rear. A lost ignition message counts as on.",
        needs=("SL", "IGN"),
        outputs=({"name": "WARN_REAR", "label": "rear warning", "internal": True},),
        rules=(
            {
                "name": "R01",
                "output": "WARN_REAR",
                "when": "SL at least 1 AND IGN at least acc",
                "unsafe": [{"signal": "IGN", "value": "run"}],
            },
        ),
    ),
    Template(
        key="R02",
        title="All warning",
        why="The second step warns to all sides. A lost ignition message counts as on.",
        needs=("SL", "IGN"),
        outputs=({"name": "WARN_ALL", "label": "all-round warning", "internal": True},),
        rules=(
            {
                "name": "R02",
                "output": "WARN_ALL",
                "when": "SL at least 2 AND IGN at least acc",
                "unsafe": [{"signal": "IGN", "value": "run"}],
            },
        ),
    ),
    Template(
        key="R03",
        title="Blocking mode",
        why="Parked on scene the vehicle blocks: no white to the front, slower flash.",
        needs=("SL",),
        terms=("PARKED",),
        outputs=({"name": "BLOCKING", "label": "blocking mode", "internal": True},),
        rules=({"name": "R03", "output": "BLOCKING", "when": "SL at least 2 AND PARKED"},),
    ),
    Template(
        key="R04",
        title="Headlight flasher",
        why="Only by day and only while responding; whatever is unknown keeps it off.",
        needs=("SL", "ENG"),
        terms=("PARKED", "NIGHT"),
        outputs=({"name": "HEAD_FLASH", "label": "headlight flasher", "load_ma": 200},),
        rules=(
            {
                "name": "R04",
                "output": "HEAD_FLASH",
                "when": "SL is 3 AND ENG AND NOT PARKED AND SPD is known AND NOT NIGHT",
                "unsafe": [{"signal": "GEAR", "value": "P"}, {"signal": "PB", "value": "on"}],
            },
        ),
        interlocks=(
            {
                "name": "R04 flash",
                "label": "Headlight flash only by day and never in park",
                "kind": "never_unless",
                "subjects": ["HEAD_FLASH"],
                "condition": "NOT PARKED AND NOT NIGHT",
            },
        ),
    ),
    Template(
        key="R05",
        title="Siren arm",
        why="Tones only in the third step, ignition in run and out of park; unknown gear is park.",
        needs=("SL", "IGN", "GEAR"),
        outputs=({"name": "SIREN_ARM", "label": "siren armed", "internal": True},),
        rules=(
            {
                "name": "R05",
                "output": "SIREN_ARM",
                "when": "SL is 3 AND IGN is run AND GEAR is not P",
                "unsafe": [{"signal": "GEAR", "value": "P"}],
            },
        ),
    ),
    Template(
        key="R06",
        after=("SIREN_ARM",),
        title="Siren tones",
        why="A press starts a tone, the next ends it, park ends it. Leaving park starts none.",
        needs=("B_WAIL", "B_YELP", "HORN"),
        outputs=(
            {"name": "WAIL", "label": "wail", "load_ma": 50, "caution": "Siren noise."},
            {"name": "YELP", "label": "yelp", "load_ma": 50, "caution": "Siren noise."},
        ),
        rules=(
            {
                "name": "R06 wail",
                "output": "WAIL",
                "when": "(B_WAIL pressed OR HORN pressed) AND SIREN_ARM",
                "reset": "NOT SIREN_ARM OR B_YELP pressed",
                "toggle": True,
            },
            {
                "name": "R06 yelp",
                "output": "YELP",
                "when": "B_YELP pressed AND SIREN_ARM",
                "reset": "NOT SIREN_ARM OR B_WAIL pressed OR HORN pressed",
                "toggle": True,
            },
        ),
        interlocks=(
            {
                "name": "R06 park",
                "label": "No siren tone in park",
                "kind": "never_unless",
                "subjects": ["WAIL", "YELP"],
                "condition": "GEAR is not P",
            },
        ),
    ),
    Template(
        key="R07",
        title="Air-horn tone",
        why="Sounds while held; the shop's mute keeps the bay quiet until the final check.",
        needs=("B_AH", "IGN", "SHOP_MUTE"),
        outputs=({"name": "AIR_HORN", "label": "air horn", "load_ma": 50},),
        rules=(
            {"name": "R07", "output": "AIR_HORN", "when": "B_AH AND IGN is run AND NOT SHOP_MUTE"},
        ),
    ),
    Template(
        key="R08",
        after=("SIREN_ARM",),
        title="Horn ring transfer",
        why="With the siren armed the horn ring steps tones; otherwise it is the vehicle's horn.",
        needs=("HORN",),
        outputs=(
            {"name": "TONE_NEXT", "label": "next tone", "load_ma": 50},
            {"name": "FACTORY_HORN", "label": "vehicle horn", "load_ma": 200},
        ),
        rules=(
            {"name": "R08 tone", "output": "TONE_NEXT", "when": "HORN AND SIREN_ARM"},
            {"name": "R08 horn", "output": "FACTORY_HORN", "when": "HORN AND NOT SIREN_ARM"},
        ),
    ),
    Template(
        key="R09",
        title="Public address",
        why="Speech mutes the tones and for a moment after.",
        needs=("PTT",),
        parameters=(Parameter(name="hold", label="Hold", default=1, low=0, high=10, unit="s"),),
        outputs=({"name": "TONE_MUTE", "label": "tone mute", "load_ma": 50},),
        rules=({"name": "R09", "output": "TONE_MUTE", "when": "PTT", "off_delay_s": "{#hold}"},),
    ),
    Template(
        key="R13",
        title="Brake priority",
        why="Braking frees rear heads that share a place with stop lamps; unknown is braking.",
        needs=("BRK",),
        outputs=({"name": "REAR_RELEASE", "label": "rear heads released", "internal": True},),
        rules=({"name": "R13", "output": "REAR_RELEASE", "when": "BRK"},),
    ),
    Template(
        key="R14",
        title="Turn signal priority",
        why="Side heads in amber follow the turn signals or go dark.",
        needs=("TL", "TR", "HAZ"),
        outputs=(
            {"name": "SIDE_TURN_L", "label": "left side heads released", "internal": True},
            {"name": "SIDE_TURN_R", "label": "right side heads released", "internal": True},
        ),
        rules=(
            {"name": "R14 left", "output": "SIDE_TURN_L", "when": "TL OR HAZ"},
            {"name": "R14 right", "output": "SIDE_TURN_R", "when": "TR OR HAZ"},
        ),
    ),
    Template(
        key="R18",
        title="Night dimming",
        why="Parked at night, lower and slower light lets drivers see responders; unknown is day.",
        needs=("B_BRT",),
        terms=("PARKED", "NIGHT"),
        outputs=({"name": "DIM", "label": "night dimming", "internal": True},),
        rules=(
            {
                "name": "R18",
                "output": "DIM",
                "when": "NIGHT AND PARKED AND NOT B_BRT",
                "unsafe": [{"signal": "HL", "value": "off"}, {"signal": "DARK", "value": "off"}],
            },
        ),
    ),
)
