"""Checks that follow from what kind of parts a job has. Common practice, no source, unless named.

Each row: reference, title, area, kind, stage it is done in, stage whose workers may not do it,
what to do, what is expected. Ranges that come from the design are filled in by generate.py.
"""

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Standard:
    ref: str
    title: str
    area: str
    stage: str
    do: str
    expect: str
    kind: str = "function"
    made_in: str = ""
    group: str = ""  # asked for by a part of this check group; empty: every unit
    photo: bool = False
    critical: bool = True
    unit: str = ""
    low: str = ""
    high: str = ""
    source: str = "Common practice, no source"


ALWAYS = (
    Standard(
        ref="ID.VIN",
        title="VIN and unit number",
        area="Identity",
        stage="S0",
        kind="visual",
        do="Read the VIN from the plate on the vehicle, not from paper.",
        expect="As on the job sheet",
        photo=True,
    ),
    Standard(
        ref="ID.SER",
        title="Serial numbers",
        area="Identity",
        stage="S13",
        kind="visual",
        do="Compare each serial number with the equipment list.",
        expect="All as listed",
        made_in="S6",
    ),
    Standard(
        ref="WIRE.ROUTE",
        title="Routing before panels close",
        area="Wiring",
        stage="S9",
        kind="visual",
        made_in="S5",
        photo=True,
        do="Look along every run with a mirror: supports, grommets, pinch points, heat, labels.",
        expect="Supported at most 18 in apart, grommet in every hole, labels legible at both ends",
    ),
    Standard(
        ref="WIRE.STUD",
        title="Stud torque and stripe",
        area="Wiring",
        stage="S9",
        kind="visual",
        made_in="S4",
        photo=True,
        do="Calibrated wrench on every power stud, to the part maker's value.",
        expect="Every stud at the maker's value and striped",
    ),
    Standard(
        ref="LAMP.FACTORY",
        title="Factory stop, turn and head lamps",
        area="Lights",
        stage="S11",
        do="A second person watches while every warning mode runs.",
        expect="Unchanged in every mode; no new fault code",
        made_in="S6",
    ),
    Standard(
        ref="SRS.CLEAR",
        title="Airbag zones and cable paths clear",
        area="Safety",
        stage="S13",
        kind="visual",
        made_in="S7",
        photo=True,
        do="Template and rule at every airbag zone; airbag lamp proves out.",
        expect="Nothing in a zone or in a curtain's path",
    ),
    Standard(
        ref="MECH.EDGE",
        title="Edges and fixings",
        area="Mechanical",
        stage="S13",
        kind="visual",
        made_in="S9",
        do="Shake every cabinet, feel every edge.",
        expect="No movement, no sharp edge, fixings through structure",
    ),
    Standard(
        ref="WATER",
        title="Water test",
        area="Body",
        stage="S13",
        kind="visual",
        made_in="S3",
        photo=True,
        do="Hose roof, antennas and inlets for 10 to 15 minutes.",
        expect="Dry behind the trim",
    ),
    Standard(
        ref="ROAD",
        title="Road test",
        area="Body",
        stage="S13",
        critical=False,
        do="10 to 20 miles, mixed and rough. No emergency tones or colours on public roads unless "
        "authorised.",
        expect="No rattle, no drift, no effect on vehicle electronics, alarms true",
    ),
    Standard(
        ref="DOCS",
        title="Documents match the vehicle",
        area="Documents",
        stage="S13",
        kind="visual",
        critical=False,
        do="Walk the legends and the schedules along the vehicle.",
        expect="As built = as found",
    ),
)

BY_GROUP = (
    Standard(
        ref="SIREN.1",
        title="No siren tone in Park",
        area="Siren",
        group="siren",
        stage="S11",
        made_in="S10",
        do="Gear in P, level 3, press each tone. Wear ear protection.",
        expect="No tone",
    ),
    Standard(
        ref="SIREN.2",
        title="Leaving Park starts no tone",
        area="Siren",
        group="siren",
        stage="S11",
        made_in="S10",
        do="Tone on in D, shift to P, shift back to D.",
        expect="Tone stops in P and stays off until pressed again",
    ),
    Standard(
        ref="SIREN.3",
        title="Horn transfer, public address, tones",
        area="Siren",
        group="siren",
        stage="S11",
        made_in="S10",
        do="Each tone, horn ring, public address key.",
        expect="Each does what the control guide says; the address mutes the tone",
    ),
    Standard(
        ref="PARK.KILL",
        title="Park changes to blocking mode",
        area="Lights",
        group="warning",
        stage="S11",
        made_in="S10",
        do="Level 2, shift to P with the park brake set.",
        expect="Front white off, headlamp flash off, slower flash",
    ),
    Standard(
        ref="WHITE.CUT",
        title="White scene light goes off when driving",
        area="Lights",
        group="scene",
        stage="S13",
        made_in="S10",
        do="Closed course, above 10 mph for 2 seconds.",
        expect="Side and rear white off, not back by itself",
    ),
    Standard(
        ref="RADIO.EMC",
        title="Radio and vehicle do not disturb each other",
        area="Radio",
        group="radio",
        stage="S13",
        made_in="S7",
        do="Every load on one by one while listening; transmit on each band.",
        expect="No break-in; lamps, siren, airbag lamp and engine unaffected",
    ),
    Standard(
        ref="RADIO.SWR",
        title="Standing wave ratio at the antenna",
        area="Radio",
        group="radio",
        kind="reading",
        stage="S13",
        made_in="S7",
        unit="ratio",
        low="1",
        high="1.5",
        do="Power meter in the line, each band edge; record the worst.",
        expect="At most 1.5",
    ),
    Standard(
        ref="IT.KEEP",
        title="Computer and router keep alive and shut down",
        area="Computer",
        group="computer",
        stage="S13",
        made_in="S7",
        do="Ignition off; time each.",
        expect="As the timers say, within 5 %",
    ),
    Standard(
        ref="AC.POL",
        title="120 V polarity and ground",
        area="120 V",
        group="mains",
        stage="S10",
        kind="visual",
        made_in="S8",
        do="Polarity tester in every receptacle. Qualified person where the law requires it.",
        expect="Correct at every receptacle",
    ),
    Standard(
        ref="AC.GFCI",
        title="Ground-fault device trips",
        area="120 V",
        group="mains",
        stage="S10",
        made_in="S8",
        do="Tester and test button at every protected receptacle.",
        expect="Trips every time",
    ),
    Standard(
        ref="AC.BOND",
        title="One neutral bond per source",
        area="120 V",
        group="mains",
        stage="S10",
        kind="visual",
        made_in="S8",
        do="Ohmmeter, shore and inverter each alone.",
        expect="Exactly one bond each time",
    ),
    Standard(
        ref="AC.INS",
        title="Insulation of the 120 V wiring",
        area="120 V",
        group="mains",
        kind="reading",
        stage="S10",
        made_in="S8",
        unit="MΩ",
        low="1",
        do="500 V DC between live parts and ground, loads unplugged, by a qualified person.",
        expect="At least 1 MΩ",
        source="IEC 60364-6, circuits up to 500 V (secondary)",
    ),
    Standard(
        ref="SHORE.1",
        title="Shore power charges",
        area="120 V",
        group="shore",
        stage="S13",
        made_in="S8",
        do="Plug in; watch charge current and inlet.",
        expect="Charges; no trip",
    ),
    Standard(
        ref="SHORE.2",
        title="Shore cord ejects on start",
        area="120 V",
        group="shore",
        stage="S13",
        made_in="S8",
        do="Start request with the cord in.",
        expect="Cord ejects before the engine turns",
    ),
    Standard(
        ref="CHARGE",
        title="Full load at idle, hot engine, 30 minutes",
        area="Energy",
        kind="reading",
        stage="S13",
        unit="V",
        low="13.0",
        group="battery",
        do="Every scene load on at the idle the design says; read after 30 minutes.",
        expect="At least 13.0 V with shedding inactive",
    ),
)

MAST = tuple(
    Standard(
        ref=f"MAST.{number}",
        title=title,
        area="Mast",
        group="mast",
        stage="S11",
        made_in="S10",
        do=f"Look overhead, spotter in place. {do}",
        expect=expect,
    )
    for number, (title, do, expect) in enumerate(
        (
            (
                "Gear out of Park",
                "All conditions met, then gear in N; hold the up button.",
                "Refuses",
            ),
            ("Park brake released", "All met, then brake off; hold up.", "Refuses"),
            ("No engine and no shore power", "All met, then both off; hold up.", "Refuses"),
            ("Auxiliary voltage low", "All met, supply below the limit; hold up.", "Refuses"),
            ("Stowed wire unplugged", "All met, unplug the stowed contact; hold up.", "Refuses"),
            ("Second contact shorted", "All met, short the second contact; hold up.", "Refuses"),
            ("Stowed state unknown", "Both contacts alike; hold up.", "Refuses and says unknown"),
            ("Overhead not acknowledged", "Press and hold up without the first press.", "Refuses"),
            ("Button released", "Raise, then let go of the button.", "Stops at once"),
            ("Up and down together", "Hold both buttons.", "Does not rise"),
            (
                "Vehicle moved with mast up",
                "Raised, release the park brake.",
                "Alarm lamp and buzzer",
            ),
            ("Alarm lamp cannot be muted", "Alarm on, press mute.", "Buzzer pauses, lamp stays"),
        ),
        start=1,
    )
)

BY_PART = BY_GROUP + MAST
