"""The mast: R19 to R23. A raised mast on the move, or into lines, kills."""

from jobs.controls.templates.apply import Parameter, Template

TEMPLATES = (
    Template(
        key="R19",
        title="Mast up",
        why="Parked, powered, both stowed contacts plausible, overhead looked at, button held.",
        needs=("B_UP", "B_DN", "ENG", "SHORE", "VA>={volts}", "STA", "STB", "IGN"),
        terms=("PARKED", "CONTACTS_DISAGREE"),
        parameters=(
            Parameter(
                name="volts", label="Battery at least", default=12, low=10, high=14, unit="V"
            ),
            Parameter(name="ack", label="Hold within", default=10, low=2, high=30, unit="s"),
            Parameter(name="doubt", label="Doubt after", default=0.5, low=0.1, high=2, unit="s"),
        ),
        outputs=(
            {
                "name": "MAST_DOUBT",
                "label": "mast position in doubt",
                "alarm": True,
                "needs": "control head",
                "guide": "The mast contacts disagree: have them looked at, the mast will not rise.",
            },
            {"name": "OVERHEAD_OK", "label": "overhead acknowledged", "internal": True},
            {"name": "UP_ASKED", "label": "mast up asked for", "internal": True},
            {"name": "UP_ENABLE", "label": "mast-up enable relay", "load_ma": 200},
            {
                "name": "MAST_UP",
                "label": "mast up",
                "series": "UP_ENABLE",
                "load_ma": 200,
                "second_means": "Enable relay in series; breaker at the mast",
                "guide": "Look overhead, press once, let go, then hold within {ack} s.",
                "caution": "Keep at least 10 ft from lines to 50 kV, 4 in more per 10 kV above. "
                "Spotter. Stow before moving.",
            },
        ),
        rules=(
            {
                "name": "R19 doubt",
                "output": "MAST_DOUBT",
                "when": "CONTACTS_DISAGREE",
                "on_delay_s": "{#doubt}",
            },
            {
                "name": "R19 overhead",
                "output": "OVERHEAD_OK",
                "when": "B_UP released AND PARKED",
                "off_delay_s": "{#ack}",
            },
            {
                "name": "R19 asked",
                "output": "UP_ASKED",
                "when": "B_UP pressed AND OVERHEAD_OK AND PARKED AND (ENG OR SHORE) "
                "AND VA at least {volts} AND NOT MAST_DOUBT",
                "reset": "NOT B_UP OR NOT PARKED OR NOT (ENG OR SHORE) "
                "OR VA below {volts} OR MAST_DOUBT",
            },
            {
                "name": "R19 up",
                "output": "MAST_UP",
                "when": "UP_ASKED AND NOT B_DN",
                "on_delay_s": 0.5,
            },
            {"name": "R19 enable", "output": "UP_ENABLE", "when": "PARKED AND NOT MAST_DOUBT"},
        ),
        interlocks=(
            {
                "name": "R19 safe",
                "label": "Mast up only when parked and its sensors are seen",
                "kind": "never_unless",
                "subjects": ["MAST_UP"],
                "condition": "PARKED AND GEAR is known AND PB is known "
                "AND STA is known AND STB is known",
                "allow_s": "{#doubt}",
                "why": "A raised mast on the move, or into lines, kills.",
            },
        ),
    ),
    Template(
        key="R20",
        title="Mast down",
        why="Allowed in every state, never together with up, half a second between the directions.",
        needs=("B_DN",),
        outputs=(
            {"name": "DOWN_ASKED", "label": "mast down asked for", "internal": True},
            {
                "name": "MAST_DOWN",
                "label": "mast down",
                "load_ma": 200,
                "second_means": "Breaker at the mast",
                "guide": "Works in every state.",
            },
        ),
        rules=(
            {"name": "R20 asked", "output": "DOWN_ASKED", "when": "B_DN"},
            {
                "name": "R20 down",
                "output": "MAST_DOWN",
                "when": "DOWN_ASKED",
                "on_delay_s": 0.5,
            },
        ),
        each={"when": "DOWN_ASKED", "action": "off", "priority": 10},
        onto=("MAST_UP",),
        interlocks=(
            {
                "name": "R20 one",
                "label": "Mast down never with up",
                "kind": "never_unless",
                "subjects": ["MAST_DOWN"],
                "condition": "DOWN_ASKED",
            },
        ),
    ),
    Template(
        key="R21",
        after=("DOWN_ASKED",),
        title="Automatic stow",
        why="A raised mast comes down when the vehicle is made ready to move; only where the "
        "mast's maker allows it.",
        needs=("PB", "GEAR"),
        terms=("STOWED",),
        outputs=({"name": "AUTO_STOW", "label": "automatic stow", "internal": True},),
        rules=(
            {
                "name": "R21",
                "output": "AUTO_STOW",
                "when": "NOT STOWED AND (NOT PB OR GEAR is not P)",
            },
        ),
        each={"when": "AUTO_STOW", "priority": 5},
        onto=("DOWN_ASKED",),
    ),
    Template(
        key="R22",
        title="Mast alarm",
        why="Not stowed and not parked: lamp and buzzer. The lamp is never muted.",
        needs=("IGN", "B_MUTE"),
        terms=("STOWED", "PARKED"),
        parameters=(
            Parameter(name="mute", label="Mute lasts", default=30, low=0, high=30, unit="s"),
        ),
        outputs=(
            {
                "name": "MAST_RAISED",
                "label": "mast raised lamp",
                "needs": "control head",
                "guide": "Lit whenever the mast is not seen stowed.",
            },
            {
                "name": "MAST_LAMP",
                "label": "mast alarm lamp",
                "alarm": True,
                "needs": "control head",
                "guide": "Stop and lower the mast.",
            },
            {
                "name": "MAST_BUZZER",
                "label": "mast buzzer",
                "alarm": True,
                "needs": "control head",
                "guide": "Stop and lower the mast. Mute works at standstill only.",
            },
            {"name": "MAST_MUTED", "label": "mast buzzer muted", "internal": True},
        ),
        rules=(
            {"name": "R22 raised", "output": "MAST_RAISED", "when": "NOT STOWED"},
            {
                "name": "R22 lamp",
                "output": "MAST_LAMP",
                "when": "NOT STOWED AND IGN at least acc AND NOT PARKED",
                "unsafe": [{"signal": "IGN", "value": "run"}],
            },
            {
                "name": "R22 muted",
                "output": "MAST_MUTED",
                "when": "B_MUTE pressed",
                "off_delay_s": "{#mute}",
            },
            {
                "name": "R22 buzzer",
                "output": "MAST_BUZZER",
                "when": "MAST_LAMP AND NOT (MAST_MUTED AND SPD below 1)",
            },
        ),
        interlocks=(
            {
                "name": "R22 alarm",
                "label": "Mast alarm whenever a raised mast is not parked",
                "kind": "always_when",
                "subjects": ["MAST_LAMP"],
                "condition": "(NOT STA OR STB) AND NOT PARKED AND IGN at least acc",
            },
        ),
    ),
    Template(
        key="R23",
        title="Mast lights",
        why="Off while stowed, because they get hot; a mast that may be stowed counts as stowed.",
        needs=("B_ML",),
        terms=("PARKED", "STOWED"),
        outputs=({"name": "MAST_HEADS", "label": "mast lights", "load_ma": 200},),
        rules=(
            {
                "name": "R23",
                "output": "MAST_HEADS",
                "when": "B_ML AND PARKED AND NOT STOWED",
                "unsafe": [{"signal": "STA", "value": "on"}, {"signal": "STB", "value": "off"}],
            },
        ),
    ),
)
