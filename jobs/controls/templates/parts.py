"""Signals and terms that the usual rules share, as plain JSON. A template names what it needs."""

from typing import Any

Plain = dict[str, Any]

GATEWAY = "Vehicle data gateway"
HEAD = "Control head"


def bus(label: str, *, unsafe: str, **more: object) -> Plain:
    """A two-state value from the vehicle's data bus, which may fall silent."""
    fixed = {"wiring": "bus", "source": GATEWAY, "may_be_unknown": True}
    return {"label": label, "unsafe": unsafe, **fixed, **more}


def position(label: str, positions: str, *, unsafe: str, **more: object) -> Plain:
    return {**bus(label, unsafe=unsafe), "kind": "position", "positions": positions.split(), **more}


def measured(label: str, unit: str, *, unsafe: str, **more: object) -> Plain:
    return {**bus(label, unsafe=unsafe), "kind": "measured", "unit": unit, "thresholds": [], **more}


def door(label: str) -> Plain:
    """A door loop: closed while the door is shut, so that a cut wire reads as open."""
    words = {"on_words": "open", "off_words": "closed", "source": "Door switch"}
    loop = {"wiring": "normally_closed", "de_energised": "on", "unsafe": "on"}
    return {"label": label, "may_be_unknown": True, **words, **loop}


def button(label: str, on: str = "pressed", off: str = "released", **more: object) -> Plain:
    words = {"on_words": on, "off_words": off}
    return {"label": label, "source": HEAD, "wiring": "bus", **words, **more}


def switch(label: str, on: str, off: str, **more: object) -> Plain:
    """A contact on a wire of its own, open at rest."""
    return {"label": label, "on_words": on, "off_words": off, "de_energised": "off", **more}


SIGNALS: dict[str, Plain] = {
    "IGN": position("ignition", "off acc run", unsafe="off"),
    "ENG": bus("engine", unsafe="off", on_words="running", off_words="stopped"),
    "GEAR": position("gear", "P R N D", unsafe="D"),
    "PB": switch(
        "park brake",
        "set",
        "released",
        monitored=True,
        may_be_unknown=True,
        unsafe="off",
        rest="on",
    ),
    "SPD": measured(
        "speed",
        "mph",
        unsafe="99",
        caution="Feed the speed by simulator, wheels chocked. Never test on a public road.",
    ),
    "BRK": bus("brake pedal", unsafe="on", on_words="pressed", off_words="released"),
    "TL": bus("left turn signal", unsafe="off"),
    "TR": bus("right turn signal", unsafe="off"),
    "HAZ": bus("hazard flashers", unsafe="off"),
    "HL": bus("headlamps", unsafe="on"),
    "DARK": bus("ambient light", unsafe="on", on_words="dark", off_words="bright"),
    "CAB_D": {**door("cab door"), "wiring": "bus", "source": GATEWAY},
    "SIDE_D": door("side door"),
    "REAR_D": door("rear door"),
    "CMP_D": door("compartment door"),
    "TRAY": door("slide tray"),
    "STA": switch(
        "mast stowed contact A",
        "closed (mast stowed)",
        "open (mast raised)",
        wiring="normally_closed",
        may_be_unknown=True,
        unsafe="off",
        rest="on",
        source="Stowed sensor, channel A",
    ),
    "STB": switch(
        "mast stowed contact B",
        "closed (mast raised)",
        "open (mast stowed)",
        may_be_unknown=True,
        unsafe="on",
        source="Stowed sensor, channel B",
    ),
    "SHORE": switch("shore cord", "plugged in", "unplugged", source="Shore inlet contact"),
    "START": switch("start request", "made", "not made", source="Ignition switch"),
    "HORN": switch("horn ring", "pressed", "released", source="Horn circuit"),
    "PTT": switch("microphone key", "pressed", "released", source="Microphone"),
    "OVERTEMP": {
        **switch("inverter over-temperature contact", "open (too hot)", "closed"),
        "wiring": "normally_closed",
        "de_energised": "on",
        "may_be_unknown": True,
        "unsafe": "on",
    },
    "VB": measured("main battery", "V", unsafe="0", rest="13"),
    "VA": measured("auxiliary battery", "V", unsafe="0", rest="13"),
    "CABIN_T": measured("cabin temperature", "F", unsafe="150", rest="70"),
    "SL": {
        "label": "warning slide",
        "kind": "position",
        "positions": ["0", "1", "2", "3"],
        "source": HEAD,
        "wiring": "bus",
    },
    "SHOP_MUTE": {"label": "shop mute", "source": "Configuration", "wiring": "bus"},
    "B_AH": button("air-horn button", "held"),
    "B_WAIL": button("wail button", caution="Siren noise: ear protection, clear the bay."),
    "B_YELP": button("yelp button", caution="Siren noise: ear protection, clear the bay."),
    "B_AL": button("arrow left button"),
    "B_AC": button("arrow centre-out button"),
    "B_AR": button("arrow right button"),
    "B_SCL": button("scene left button", "on", "off"),
    "B_SCR": button("scene right button", "on", "off"),
    "B_SCB": button("scene rear button", "on", "off"),
    "B_BRT": button("bright button", "on", "off"),
    "B_UP": button(
        "mast up button",
        caution="Look overhead, walk round. Keep at least 10 ft from lines to 50 kV, more above.",
    ),
    "B_DN": button("mast down button"),
    "B_ML": button("mast lights button", "on", "off"),
    "B_MUTE": button("mast buzzer mute key"),
    "B_GL": button("ground lights key", "on", "off"),
    "B_HI": button("high idle button", "on", "off"),
    "B_INV": button("inverter button", "on", "off"),
    "B_LK": button("safe release key"),
    "B_STL": button("stealth button", "held"),
    "B_CUT": button("back-up alarm cut key"),
    "B_MOFF": button("master off button", "held"),
}

TERMS: dict[str, Plain] = {
    "PARKED": {"label": "parked", "when": "GEAR is P AND PB AND SPD below 1"},
    "NIGHT": {"label": "night", "when": "HL OR DARK"},
    "STOWED": {"label": "mast stowed", "when": "STA AND NOT STB"},
    "CONTACTS_DISAGREE": {
        "label": "mast contacts disagree or unknown",
        "when": "(STA AND STB) OR (NOT STA AND NOT STB) OR STA is unknown OR STB is unknown",
    },
}
TERM_NEEDS = {
    "PARKED": ("GEAR", "PB", "SPD>=1"),
    "NIGHT": ("HL", "DARK"),
    "STOWED": ("STA", "STB"),
    "CONTACTS_DISAGREE": ("STA", "STB"),
}
