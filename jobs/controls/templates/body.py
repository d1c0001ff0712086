"""Doors, shore cord, locks, stealth and alarms: R24, R27, R33 to R37."""

from jobs.controls.templates.apply import Parameter, Template

LIT = ("SCENE_L", "SCENE_R", "SCENE_B", "MAST_HEADS", "GROUND")
LOUD = ("WARN_REAR", "WARN_ALL", "WAIL", "YELP", "AIR_HORN")

TEMPLATES = (
    Template(
        key="R24",
        title="Door and tray alarm",
        why="An open compartment shows always, and sounds when the vehicle is not parked.",
        needs=("CMP_D", "TRAY", "REAR_D", "IGN"),
        terms=("PARKED",),
        outputs=(
            {
                "name": "DOOR_LAMP",
                "label": "compartment open lamp",
                "alarm": True,
                "needs": "control head",
                "guide": "A rear, compartment or tray door is open.",
            },
            {
                "name": "DO_NOT_MOVE",
                "label": "do not move lamp and buzzer",
                "alarm": True,
                "needs": "control head",
                "guide": "Stop and close it.",
            },
        ),
        rules=(
            {"name": "R24 lamp", "output": "DOOR_LAMP", "when": "CMP_D OR TRAY OR REAR_D"},
            {
                "name": "R24 alarm",
                "output": "DO_NOT_MOVE",
                "when": "DOOR_LAMP AND NOT PARKED AND IGN at least acc",
                "unsafe": [{"signal": "IGN", "value": "run"}],
            },
        ),
        interlocks=(
            {
                "name": "R24 doors",
                "label": "Doors open on the move sound the alarm",
                "kind": "always_when",
                "subjects": ["DO_NOT_MOVE"],
                "condition": "(CMP_D OR TRAY OR REAR_D) AND NOT PARKED AND IGN at least acc",
            },
        ),
    ),
    Template(
        key="R27",
        title="Shore cord guard",
        why="A start request throws the cord out first; the engine starts only without it.",
        needs=("SHORE", "START", "GEAR"),
        outputs=(
            {"name": "SHORE_EJECT", "label": "shore cord ejector", "peak_ma": 5000},
            {"name": "START_ALLOW", "label": "start permission", "load_ma": 100},
            {
                "name": "SHORE_ALARM",
                "label": "shore cord alarm",
                "alarm": True,
                "needs": "control head",
                "guide": "Put it in park and unplug.",
            },
        ),
        rules=(
            {"name": "R27 eject", "output": "SHORE_EJECT", "when": "SHORE AND START"},
            {"name": "R27 start", "output": "START_ALLOW", "when": "START AND NOT SHORE"},
            {"name": "R27 alarm", "output": "SHORE_ALARM", "when": "SHORE AND GEAR is not P"},
        ),
        interlocks=(
            {
                "name": "R27 cord",
                "label": "The engine never starts on the shore cord",
                "kind": "never_unless",
                "subjects": ["START_ALLOW"],
                "condition": "NOT SHORE",
            },
        ),
    ),
    Template(
        key="R33",
        title="Lock release",
        why="One pulse for each press; holding the key gives no second one.",
        needs=("B_LK", "IGN"),
        parameters=(Parameter(name="pulse", label="Pulse", default=8, low=1, high=30, unit="s"),),
        outputs=({"name": "SAFE_LOCK", "label": "equipment safe release", "peak_ma": 1500},),
        rules=(
            {
                "name": "R33",
                "output": "SAFE_LOCK",
                "when": "B_LK pressed AND IGN at least acc",
                "off_delay_s": "{#pulse}",
            },
        ),
    ),
    Template(
        key="R34",
        title="Stealth",
        why="Lets the crew arrive dark; ends with the slide and by itself.",
        needs=("B_STL", "SL"),
        parameters=(
            Parameter(name="press", label="Hold for", default=2, low=0.5, high=5, unit="s"),
            Parameter(name="ends", label="Ends after", default=1800, low=60, high=7200, unit="s"),
        ),
        outputs=(
            {"name": "STEALTH_PRESSED", "label": "stealth button held", "internal": True},
            {"name": "STEALTH_TIME", "label": "stealth time running", "internal": True},
            {
                "name": "STEALTH",
                "label": "stealth",
                "internal": True,
                "guide": "Hold {press} s with the slide at 0. Ends with the slide.",
            },
            {"name": "DOME_RED", "label": "red dome light", "load_ma": 800},
        ),
        rules=(
            {
                "name": "R34 pressed",
                "output": "STEALTH_PRESSED",
                "when": "B_STL AND SL is 0",
                "on_delay_s": "{#press}",
            },
            {
                "name": "R34 time",
                "output": "STEALTH_TIME",
                "when": "STEALTH_PRESSED",
                "off_delay_s": "{#ends}",
            },
            {
                "name": "R34",
                "output": "STEALTH",
                "when": "STEALTH_PRESSED",
                "reset": "SL at least 1 OR NOT STEALTH_TIME",
            },
            {"name": "R34 dome", "output": "DOME_RED", "when": "STEALTH"},
        ),
        each={"when": "STEALTH", "action": "off", "priority": 30},
        onto=LIT,
    ),
    Template(
        key="R35",
        title="Back-up alarm",
        why="The cut is forgotten at every change of gear.",
        needs=("GEAR", "IGN", "B_CUT"),
        outputs=(
            {"name": "ALARM_CUT", "label": "back-up alarm cut", "internal": True},
            {"name": "BACKUP", "label": "back-up alarm", "load_ma": 500, "peak_ma": 500},
        ),
        rules=(
            {
                "name": "R35 cut",
                "output": "ALARM_CUT",
                "when": "B_CUT pressed AND GEAR is R",
                "reset": "GEAR is not R",
            },
            {
                "name": "R35",
                "output": "BACKUP",
                "when": "GEAR is R AND IGN is run AND NOT ALARM_CUT",
                "unsafe": [{"signal": "IGN", "value": "run"}],
            },
        ),
    ),
    Template(
        key="R36",
        title="Master off",
        why="One button for warning, scene and siren; alarms, mast lowering and radios are left.",
        needs=("B_MOFF",),
        parameters=(
            Parameter(name="press", label="Hold for", default=1, low=0.5, high=5, unit="s"),
        ),
        outputs=({"name": "MASTER_OFF", "label": "master off", "internal": True},),
        rules=(
            {
                "name": "R36",
                "output": "MASTER_OFF",
                "when": "B_MOFF",
                "on_delay_s": "{#press}",
            },
        ),
        each={"when": "MASTER_OFF", "action": "off", "priority": 90},
        onto=(*LOUD, *LIT),
    ),
    Template(
        key="R37",
        title="Cabin heat alarm",
        why="A dog in a hot cabin dies in minutes: too hot or not known, both alarm. Feed it from "
        "a battery of its own.",
        needs=("CABIN_T>={limit}",),
        parameters=(
            Parameter(name="limit", label="Alarm from", default=85, low=70, high=100, unit="F"),
        ),
        outputs=(
            {
                "name": "HEAT_ALARM",
                "label": "cabin heat alarm, fans and pager",
                "alarm": True,
                "load_ma": 5000,
                "guide": "Get the dog out, then look for the cause.",
            },
        ),
        rules=(
            {
                "name": "R37",
                "output": "HEAT_ALARM",
                "when": "CABIN_T at least {limit} OR CABIN_T is unknown",
            },
        ),
        interlocks=(
            {
                "name": "R37 heat",
                "label": "Heat alarm whenever the cabin is hot or not known",
                "kind": "always_when",
                "subjects": ["HEAT_ALARM"],
                "condition": "CABIN_T at least {limit} OR CABIN_T is unknown",
            },
        ),
    ),
)
