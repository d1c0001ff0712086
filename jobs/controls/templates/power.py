"""Chargers, timers, load shedding, idle and inverter: R28 to R32."""

from jobs.controls.templates.apply import Parameter, Template


def _volts(name: str, label: str, default: float) -> Parameter:
    return Parameter(name=name, label=label, default=default, low=10, high=14, unit="V")


def _back(step: int, wait: str = "{#back}") -> dict[str, object]:
    return {
        "name": f"R30 back {step}",
        "output": f"BACK_{step}",
        "when": f"VB at least {{back{step}}}",
        "on_delay_s": wait,
    }


def _shed(step: int, label: str, guide: str) -> dict[str, object]:
    return {
        "name": f"SHED_{step}",
        "label": label,
        "alarm": True,
        "needs": "control head",
        "guide": guide,
    }


TEMPLATES = (
    Template(
        key="R28",
        title="Chargers",
        why="Charging circuits live only while something charges the vehicle.",
        needs=("ENG", "SHORE"),
        outputs=({"name": "CHARGERS", "label": "handlight chargers", "load_ma": 4800},),
        rules=({"name": "R28", "output": "CHARGERS", "when": "ENG OR SHORE"},),
    ),
    Template(
        key="R29",
        title="Supply timers",
        why="Radio and computer outlive the ignition for a while, but never the battery.",
        needs=("IGN", "SHORE", "VB>={volts}"),
        parameters=(
            Parameter(name="t1", label="Timer 1", default=1800, low=60, high=14400, unit="s"),
            Parameter(name="t2", label="Timer 2", default=7200, low=60, high=28800, unit="s"),
            _volts("volts", "Battery at least", 11.9),
        ),
        outputs=(
            {"name": "T1_HOLD", "label": "timer 1", "internal": True},
            {"name": "T2_HOLD", "label": "timer 2", "internal": True},
            {"name": "T1", "label": "timed supply 1", "load_ma": 200},
            {"name": "T2", "label": "timed supply 2", "load_ma": 200},
        ),
        rules=(
            {
                "name": "R29 hold 1",
                "output": "T1_HOLD",
                "when": "IGN is run",
                "off_delay_s": "{#t1}",
            },
            {
                "name": "R29 hold 2",
                "output": "T2_HOLD",
                "when": "IGN is run",
                "off_delay_s": "{#t2}",
            },
            {
                "name": "R29 timer 1",
                "output": "T1",
                "when": "IGN is run OR SHORE OR (T1_HOLD AND VB at least {volts})",
            },
            {
                "name": "R29 timer 2",
                "output": "T2",
                "when": "IGN is run OR SHORE OR (T2_HOLD AND VB at least {volts})",
            },
        ),
    ),
    Template(
        key="R30",
        title="Load shedding",
        why="A falling battery drops comfort first, then half the scene light, then the rest; it "
        "comes back in reverse order. Thresholds belong to the chassis.",
        needs=(
            "VB>={low1}",
            "VB>={low2}",
            "VB>={low3}",
            "VB>={back1}",
            "VB>={back2}",
            "VB>={back3}",
        ),
        parameters=(
            _volts("low1", "Step 1 below", 12.3),
            _volts("low2", "Step 2 below", 12.0),
            _volts("low3", "Step 3 below", 11.8),
            _volts("back1", "Step 1 back from", 12.8),
            _volts("back2", "Step 2 back from", 12.5),
            _volts("back3", "Step 3 back from", 12.3),
            Parameter(name="wait", label="Low for", default=30, low=5, high=300, unit="s"),
            Parameter(name="back", label="Good for", default=60, low=5, high=600, unit="s"),
        ),
        outputs=(
            *[
                {"name": f"BACK_{step}", "label": f"battery back for step {step}", "internal": True}
                for step in (1, 2, 3)
            ],
            _shed(1, "shed step 1", "Battery low: comfort loads and outlets are off."),
            _shed(2, "shed step 2", "Battery lower: half the scene light is off too."),
            _shed(3, "shed step 3", "Battery very low: mast lights and inverter are off too."),
        ),
        rules=(
            _back(1),
            _back(2),
            _back(3),
            {
                "name": "R30 step 3",
                "output": "SHED_3",
                "when": "VB below {low3}",
                "on_delay_s": "{#wait}",
                "reset": "BACK_3",
            },
            {
                "name": "R30 step 2",
                "output": "SHED_2",
                "when": "VB below {low2}",
                "on_delay_s": "{#wait}",
                "reset": "BACK_2 AND NOT SHED_3",
            },
            {
                "name": "R30 step 1",
                "output": "SHED_1",
                "when": "VB below {low1}",
                "on_delay_s": "{#wait}",
                "reset": "BACK_1 AND NOT SHED_2",
            },
        ),
        each={"when": "SHED_2", "action": "off", "priority": 15},
        onto=("SCENE_L", "SCENE_B"),
    ),
    Template(
        key="R31",
        title="High idle",
        why="More alternator current when parked; drops at once on the brake or out of park.",
        needs=("ENG", "BRK", "B_HI", "VB>={volts}"),
        terms=("PARKED",),
        parameters=(
            _volts("volts", "Automatic below", 12.8),
            Parameter(name="wait", label="Low for", default=20, low=5, high=120, unit="s"),
        ),
        outputs=(
            {"name": "IDLE_WANTED", "label": "battery wants high idle", "internal": True},
            {"name": "HIGH_IDLE", "label": "high idle", "load_ma": 100},
        ),
        rules=(
            {
                "name": "R31 wanted",
                "output": "IDLE_WANTED",
                "when": "VB below {volts}",
                "on_delay_s": "{#wait}",
            },
            {
                "name": "R31",
                "output": "HIGH_IDLE",
                "when": "PARKED AND ENG AND NOT BRK AND (B_HI OR IDLE_WANTED)",
            },
        ),
        interlocks=(
            {
                "name": "R31 park",
                "label": "High idle only in park and off the brake",
                "kind": "never_unless",
                "subjects": ["HIGH_IDLE"],
                "condition": "PARKED AND NOT BRK",
            },
        ),
    ),
    Template(
        key="R32",
        title="Inverter",
        why="Only with something to feed it, and never hot.",
        needs=("B_INV", "ENG", "SHORE", "VA>={volts}", "OVERTEMP"),
        parameters=(_volts("volts", "Battery at least", 12.0),),
        outputs=(
            {
                "name": "INVERTER",
                "label": "inverter",
                "load_ma": 100,
                "caution": "120 V: unplug shore and switch the inverter off before work on "
                "outlets; it can start by itself.",
            },
        ),
        rules=(
            {
                "name": "R32",
                "output": "INVERTER",
                "when": "B_INV AND (ENG OR SHORE OR VA at least {volts}) AND NOT OVERTEMP",
            },
        ),
    ),
)
