"""The legal profile of an agency: which colours each zone may show, which tones may sound.

The profile is what somebody read in a law or permit and wrote down with source and date. The
application compares with it and never says that a vehicle is legal.
"""

from typing import Any

ZONES = {
    "front": "Front",
    "corners": "Front corners",
    "sides": "Sides",
    "rear": "Rear",
    "roof": "Roof",
    "inside": "Inside, seen from outside",
}
COLOURS = {
    "red": "Red",
    "blue": "Blue",
    "amber": "Amber",
    "white": "White",
    "green": "Green",
    "purple": "Purple",
}
TONES = {
    "wail": "Wail",
    "yelp": "Yelp",
    "two-tone": "Two-tone",
    "phaser": "Fast yelp",
    "air horn": "Air horn",
    "low tone": "Low-frequency tone",
}


def colours_in(profile: dict[str, Any], zone: str) -> list[str]:
    return list(profile.get("colours", {}).get(zone, []))


def with_choices(
    profile: dict[str, Any], colours: dict[str, list[str]], tones: list[str]
) -> dict[str, Any]:
    """The profile with new ticks. Zones that the form does not offer keep what they had."""
    kept = {zone: held for zone, held in profile.get("colours", {}).items() if zone not in ZONES}
    chosen = {zone: held for zone, held in colours.items() if held}
    return {**profile, "colours": {**kept, **chosen}, "tones": list(tones)}


def matrix(profile: dict[str, Any]) -> list[tuple[str, list[bool]]]:
    """One row per zone: its name, and whether each colour is permitted."""
    names = {**ZONES, **{zone: zone.capitalize() for zone in profile.get("colours", {})}}
    names.update(ZONES)
    return [
        (name, [colour in colours_in(profile, zone) for colour in COLOURS])
        for zone, name in names.items()
    ]
