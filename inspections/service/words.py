"""What crews say when something fails, by the kind of part that it is about."""

from catalog.models import PartKind

SYMPTOMS = {
    PartKind.WARNING: "flash flashing blink beacon strobe emergency light lamp dark colour pattern",
    PartKind.SCENE: "light lamp flood work dark bright dim night area",
    PartKind.AUDIO: "sound noise tone wail yelp horn speaker loud quiet silent siren announce",
    PartKind.CONTROL: "button switch keypad slide control panel alarm buzzer module bus network",
    PartKind.POWER: "power battery charge charging drain flat dead voltage fuse breaker start",
    PartKind.RADIO: "radio transmit receive talk microphone antenna static reception",
    PartKind.IT: "computer screen tablet camera picture internet modem router network gps",
    PartKind.INTERIOR: "drawer cabinet seat box latch tray lamp",
    PartKind.EXTERIOR: "step bumper rack ladder rail mirror",
    PartKind.CLIMATE: "heat heater cold warm fan air fridge",
    PartKind.SUBLET: "graphics film",
}
# Words that say that something is wrong, not what.
_IDLE = (
    "a an and at in of on off is it its the to too not no nothing does doesn t do dont won wont "
    "work works working dead broken fails failed fail stopped never always sometimes when with "
    "comes goes out up down but only side any after before"
)
IDLE = frozenset(_IDLE.split())
