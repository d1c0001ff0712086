"""The invented rescue van as quoted in revision B: what the demo totals are reckoned on.

Reference, description, quantity, list price in dollars, minutes of the whole line. A list price of
0 is equipment that the agency furnishes: only its installation is paid.
"""

from decimal import Decimal

from jobs.quoting.pricing import Kind, PricedInput, Terms, standard_rates

SECTIONS: dict[str, tuple[tuple[str, str, int, int, int], ...]] = {
    "Warning lights": (
        ("L01", "Roof lightbar 60in tri-colour R/W/A", 1, 2140, 360),
        ("L02", "Grille head tri-colour", 4, 148, 180),
        ("L03", "Bumper intersection head tri-colour", 2, 148, 90),
        ("L04", "Mirror head tri-colour, L/R", 2, 156, 120),
        ("L05", "Side body head tri-colour (3/side)", 6, 212, 360),
        ("L06", "Rear upper head tri-colour", 4, 212, 240),
        ("L07", "Rear lower door-jamb head R/A", 2, 148, 120),
        ("L08", "Rear arrow bar 8-head amber", 1, 690, 150),
        ("L09", "Headlight flasher module", 1, 95, 90),
    ),
    "Siren and audio": (
        ("L15", "Siren amplifier 2x100W", 1, 980, 180),
        ("L16", "Siren speaker 100W 11ohm", 2, 265, 120),
        ("L17", "Back-up alarm 97dBA", 1, 70, 48),
    ),
    "Control system": (
        ("L18", "Control head: 3-pos slide + 15 buttons", 1, 640, 120),
        ("L19", "I/O node 4x25A+8x10A out, 12 in, 80A max", 3, 560, 540),
        ("L20", "Rear keypad 6 button", 2, 145, 90),
        ("L21", "Mast stowed sensor (2 channel, NC+NO)", 2, 58, 120),
        ("L22", "Door/hatch switch", 5, 14, 150),
        ("L23", "Vehicle data gateway, read only", 1, 310, 90),
    ),
    "Power and distribution": (
        ("L24", "Breaker 125A manual reset type III", 2, 64, 60),
        ("L25", "Breaker 60A manual reset type III", 1, 52, 30),
        ("L26", "High-interrupt fuse 250A + block", 1, 88, 30),
        ("L27", "Bolt-down fuse 200A + block", 2, 46, 48),
        ("L28", "Fuse panel 12-way, 100A, common neg", 3, 118, 270),
        ("L29", "Negative bus bar 250A", 2, 54, 60),
        ("L30", "Low-voltage disconnect/timer 200A", 1, 165, 60),
        ("L31", "Battery isolator 250A, engine-run enabled", 1, 240, 72),
        ("L32", "Auxiliary AGM battery 105Ah", 2, 390, 180),
        ("L33", "Inverter/charger 2000W / 80A charge", 1, 2150, 300),
        ("L34", "Shore inlet 120V 20A auto-eject", 1, 520, 150),
        ("L35", "AC sub-panel 4-way, GFCI", 1, 310, 180),
        ("L36", "Duplex receptacle 20A", 4, 28, 120),
        ("L37", "Cable, loom, harness, terminal kit", 1, 1450, 1560),
        ("L60", "12V/USB outlet pair", 4, 36, 120),
        ("L61", "Handlight charger base", 4, 0, 96),
    ),
    "Radio": (
        ("L38", "Two-way radio VHF 50W dual head", 1, 0, 240),
        ("L39", "Marine-band radio 25W", 1, 0, 150),
        ("L40", "Roof-hole antenna quarter wave", 2, 42, 120),
        ("L41", "Combination dome antenna 5 lead", 1, 390, 120),
    ),
    "Computer and cameras": (
        ("L42", "Cellular router", 1, 0, 90),
        ("L43", "Computer dock + swing mount", 1, 890, 150),
        ("L44", "Rugged computer", 1, 0, 30),
        ("L45", "Desk monitor 24in", 1, 310, 60),
        ("L46", "Four-camera view system + recorder", 1, 1280, 300),
        ("L47", "Thermal pan/tilt camera, roof", 1, 6400, 240),
    ),
    "Interior and storage": (
        ("L48", "Centre console 14in + faceplates", 1, 720, 210),
        ("L49", "Left cabinet 84in", 1, 2980, 360),
        ("L50", "Right cabinet 60in", 1, 2240, 300),
        ("L51", "Command desk 42in", 1, 1180, 240),
        ("L52", "Rear slide tray 400lb capacity", 1, 1460, 180),
        ("L53", "Bulkhead partition with door", 1, 1190, 240),
        ("L54", "Drysuit drying locker, blower", 1, 980, 210),
        ("L55", "Electrically locked equipment safe", 1, 540, 90),
        ("L62", "Sealed floor covering + trim", 1, 860, 300),
        ("L63", "Extinguisher 10lb + bracket", 1, 95, 24),
        ("L64", "Brackets, fasteners, sealant", 1, 420, 0),
    ),
    "Exterior": (
        ("L56", "Front push bumper with lamp/speaker mounts", 1, 640, 150),
        ("L57", "Roof deck and rear ladder", 1, 2100, 360),
    ),
    "Scene lights and mast": (
        ("L10", "Side/rear scene light 60W", 6, 385, 360),
        ("L11", "Telescoping mast, 12ft above ground, motor", 1, 5900, 720),
        ("L12", "Mast LED head pair 2x150W", 1, 1240, 120),
        ("L13", "Ground (perimeter) light", 6, 48, 180),
        ("L14", "Interior strip light W/R", 6, 62, 240),
    ),
    "Heating and ventilation": (
        ("L58", "Fuel-fired air heater 5kW", 1, 1650, 420),
        ("L59", "Roof vent fan", 1, 240, 120),
    ),
}
THERMAL_CAMERA = "L47"
TERMS = Terms(rates=standard_rates(11_800), discount_bp=2_200, supplies_bp=300)


def parts(*, without: str = "") -> list[PricedInput]:
    return [
        PricedInput(
            section=section,
            ref=ref,
            description=description,
            quantity=Decimal(quantity),
            unit_cents=dollars * 100,
            minutes=minutes,
        )
        for section, rows in SECTIONS.items()
        for ref, description, quantity, dollars, minutes in rows
        if ref != without
    ]


def one_off() -> PricedInput:
    return PricedInput(
        kind=Kind.ONE_OFF,
        section="One-off engineering",
        description="Design, programming and first-article checks",
        unit_cents=11_800,
        minutes=28 * 60,
    )


def freight() -> PricedInput:
    return PricedInput(
        kind=Kind.FREIGHT, section="Freight", description="Freight in", unit_cents=185_000
    )


def sublet() -> PricedInput:
    return PricedInput(
        kind=Kind.SUBLET,
        section="Graphics and sublet",
        ref="L65",
        description="Graphics and rear chevrons",
        unit_cents=385_000,
    )


def second_charger() -> PricedInput:
    return PricedInput(
        kind=Kind.OPTION,
        section="Options",
        code="O-1",
        description="Second handlight charger, fitted",
        unit_cents=64_000,
        firm=True,
    )


def delete_camera() -> PricedInput:
    return PricedInput(
        kind=Kind.OPTION,
        section="Options",
        code="O-2",
        description="Delete the thermal camera",
        quantity=Decimal(-1),
        unit_cents=640_000,
        minutes=-240,
    )


def revision_b() -> list[PricedInput]:
    return [*parts(), one_off(), freight(), sublet(), second_charger(), delete_camera()]


def revision_a() -> list[PricedInput]:
    return [*parts(without=THERMAL_CAMERA), one_off(), freight(), sublet()]


def more_ground_lights() -> list[PricedInput]:
    """Change order 1: two more perimeter lights, one hour."""
    return [
        PricedInput(
            section="Scene lights and mast",
            ref="L13",
            description="Ground (perimeter) light",
            quantity=Decimal(2),
            unit_cents=4_800,
            minutes=60,
        )
    ]
