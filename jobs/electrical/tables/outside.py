"""Outside diameter of single-conductor vehicle wire over its insulation [mm].

Typical of cross-linked medium-wall wire up to 8 AWG and of battery cable above it, rounded up. No
published source: makers differ by a tenth and more, so a tight opening wants the wire's datasheet.
"""

SOURCE = "common-practice"

OUTSIDE_MM = {
    "22": 1.9,
    "20": 2.2,
    "18": 2.5,
    "16": 2.8,
    "14": 3.2,
    "12": 3.7,
    "10": 4.4,
    "8": 5.6,
    "6": 7.0,
    "4": 8.4,
    "3": 9.2,
    "2": 10.4,
    "1": 11.7,
    "1/0": 12.7,
    "2/0": 14.2,
    "3/0": 15.8,
    "4/0": 17.6,
}
