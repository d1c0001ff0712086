"""Arrows and white light: R10 to R12, R15 to R17, R25 and R26."""

from jobs.controls.templates.apply import Parameter, Template


def _arrow(name: str, button: str, others: tuple[str, str]) -> dict[str, object]:
    pressed = " OR ".join(f"{other} pressed" for other in others)
    return {
        "name": f"R10 {name}",
        "output": name,
        "when": f"{button} pressed AND (PARKED OR SPD below {{mph}})",
        "reset": f"NOT (PARKED OR SPD below {{mph}}) OR {pressed}",
        "toggle": True,
    }


ARROWS = ("ARROW_L", "ARROW_C", "ARROW_R")

TEMPLATES = (
    Template(
        key="R10",
        title="Arrows",
        why="One of three, the last press wins; only at low speed.",
        needs=("B_AL", "B_AC", "B_AR", "SPD>={mph}"),
        terms=("PARKED",),
        parameters=(
            Parameter(name="mph", label="Speed limit", default=15, low=1, high=45, unit="mph"),
        ),
        outputs=(
            {"name": "ARROW_L", "label": "arrow left", "internal": True},
            {"name": "ARROW_C", "label": "arrow centre-out", "internal": True},
            {"name": "ARROW_R", "label": "arrow right", "internal": True},
        ),
        rules=(
            _arrow("ARROW_L", "B_AL", ("B_AC", "B_AR")),
            _arrow("ARROW_C", "B_AC", ("B_AL", "B_AR")),
            _arrow("ARROW_R", "B_AR", ("B_AL", "B_AC")),
        ),
        interlocks=(
            {
                "name": "R10 one",
                "label": "At most one arrow",
                "kind": "never_together",
                "subjects": list(ARROWS),
                "safety": False,
            },
        ),
    ),
    Template(
        key="R11",
        after=("ARROW_L", "ARROW_C", "ARROW_R"),
        title="Arrow drop",
        why="An arrow forgotten on the move misleads traffic; it goes out with a chime.",
        needs=("SPD>={mph}",),
        parameters=(
            Parameter(name="mph", label="Speed", default=20, low=1, high=60, unit="mph"),
            Parameter(name="wait", label="Time above it", default=5, low=1, high=60, unit="s"),
        ),
        outputs=(
            {"name": "ARROW_DROP", "label": "arrow drop", "internal": True},
            {"name": "ARROW_LATELY", "label": "arrow shown lately", "internal": True},
            {
                "name": "ARROW_CHIME",
                "label": "arrow chime",
                "alarm": True,
                "needs": "control head",
                "guide": "The arrow was cleared because the vehicle moves.",
            },
        ),
        rules=(
            {
                "name": "R11 drop",
                "output": "ARROW_DROP",
                "when": "SPD at least {mph}",
                "on_delay_s": "{#wait}",
            },
            {
                "name": "R11 lately",
                "output": "ARROW_LATELY",
                "when": "ARROW_L OR ARROW_C OR ARROW_R",
                "off_delay_s": 3,
            },
            {"name": "R11 chime", "output": "ARROW_CHIME", "when": "ARROW_DROP AND ARROW_LATELY"},
        ),
        each={"when": "ARROW_DROP", "action": "off", "priority": 10},
        onto=ARROWS,
    ),
    Template(
        key="R12",
        after=("ARROW_L", "ARROW_C", "ARROW_R"),
        title="Rear cut for the arrow",
        why="Flashing heads close to the arrow bar would wash it out.",
        outputs=({"name": "REAR_CUT", "label": "rear flash cut for arrow", "internal": True},),
        rules=({"name": "R12", "output": "REAR_CUT", "when": "ARROW_L OR ARROW_C OR ARROW_R"},),
    ),
    Template(
        key="R15",
        title="Scene light left and right",
        why="White light to the side for work, never for driving.",
        needs=("B_SCL", "B_SCR", "SIDE_D", "SL", "SPD>={mph}"),
        parameters=(
            Parameter(name="mph", label="Off from", default=10, low=1, high=25, unit="mph"),
        ),
        outputs=(
            {"name": "SCENE_L", "label": "scene left", "load_ma": 10000, "peak_ma": 10000},
            {"name": "SCENE_R", "label": "scene right", "load_ma": 10000, "peak_ma": 10000},
        ),
        rules=(
            {
                "name": "R15 left",
                "output": "SCENE_L",
                "when": "(B_SCL OR (SIDE_D AND SL at least 2)) AND SPD below {mph}",
                "unsafe": [{"signal": "SIDE_D", "value": "off"}],
            },
            {
                "name": "R15 right",
                "output": "SCENE_R",
                "when": "(B_SCR OR (SIDE_D AND SL at least 2)) AND SPD below {mph}",
                "unsafe": [{"signal": "SIDE_D", "value": "off"}],
            },
        ),
    ),
    Template(
        key="R16",
        title="Scene light rear",
        why="When parked by button or door, and as a reversing light.",
        needs=("B_SCB", "REAR_D", "GEAR", "IGN", "SPD>={mph}"),
        terms=("PARKED",),
        parameters=(
            Parameter(name="mph", label="Off from", default=10, low=1, high=25, unit="mph"),
        ),
        outputs=({"name": "SCENE_B", "label": "scene rear", "load_ma": 10000, "peak_ma": 10000},),
        rules=(
            {"name": "R16 scene", "output": "SCENE_B", "when": "(B_SCB OR REAR_D) AND PARKED"},
            {
                "name": "R16 reverse",
                "output": "SCENE_B",
                "when": "GEAR is R AND IGN is run AND SPD below {mph}",
                "priority": 20,
            },
        ),
    ),
    Template(
        key="R17",
        title="White cut on the move",
        why="White to side and rear blinds others; it goes out and does not return by itself.",
        needs=("SPD>={mph}", "B_SCL", "B_SCR", "B_SCB"),
        parameters=(
            Parameter(name="mph", label="Off from", default=10, low=1, high=25, unit="mph"),
            Parameter(name="wait", label="Time above it", default=2, low=0, high=10, unit="s"),
        ),
        outputs=({"name": "WHITE_CUT", "label": "white light cut", "internal": True},),
        rules=(
            {
                "name": "R17",
                "output": "WHITE_CUT",
                "when": "SPD at least {mph}",
                "on_delay_s": "{#wait}",
                "reset": "SPD below {mph} AND (B_SCL pressed OR B_SCR pressed OR B_SCB pressed)",
            },
        ),
        each={"when": "WHITE_CUT", "action": "off", "priority": 10},
        onto=("SCENE_L", "SCENE_R", "SCENE_B", "MAST_HEADS"),
    ),
    Template(
        key="R25",
        title="Compartment light",
        why="Each light with its own door only; a weak battery ends it.",
        needs=("VB>={volts}",),
        parameters=(
            Parameter(name="door", label="Door signal", text="CMP_D"),
            Parameter(name="light", label="Light output", text="CMP_LIGHT"),
            Parameter(name="after", label="Stays on for", default=600, low=0, high=3600, unit="s"),
            Parameter(name="volts", label="Off below", default=11.9, low=10, high=13, unit="V"),
        ),
        signals=(
            {
                "name": "{door}",
                "label": "compartment door {door}",
                "wiring": "normally_closed",
                "de_energised": "on",
                "may_be_unknown": True,
                "unsafe": "on",
                "on_words": "open",
                "off_words": "closed",
                "source": "Door switch",
            },
        ),
        outputs=({"name": "{light}", "label": "compartment light {light}", "load_ma": 500},),
        rules=(
            {
                "name": "R25 {light}",
                "output": "{light}",
                "when": "{door}",
                "off_delay_s": "{#after}",
            },
            {
                "name": "R25 {light} battery",
                "output": "{light}",
                "when": "VB below {volts}",
                "action": "off",
                "priority": 10,
            },
        ),
    ),
    Template(
        key="R26",
        title="Ground lights",
        why="Light to step out into, at night and at walking pace.",
        needs=("CAB_D", "B_GL", "SPD>={mph}"),
        terms=("NIGHT",),
        parameters=(
            Parameter(name="mph", label="Off from", default=5, low=1, high=15, unit="mph"),
        ),
        outputs=({"name": "GROUND", "label": "ground lights", "load_ma": 3200},),
        rules=(
            {
                "name": "R26",
                "output": "GROUND",
                "when": "(CAB_D OR B_GL) AND NIGHT AND SPD below {mph}",
            },
        ),
    ),
)
