"""VIN: 17 characters whose ninth checks the others (49 CFR 565.15). Knows no table and no clock."""

from dataclasses import dataclass

from vininfo import Vin

LENGTH = 17
CHECK_POSITION = 9
WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
# A to H count 1 to 8, J to R 1 to 9 without 6 and 8, S to Z 2 to 9. I, O and Q do not occur.
VALUES = {
    **{str(digit): digit for digit in range(10)},
    **dict(zip("ABCDEFGH", range(1, 9), strict=True)),
    **dict(zip("JKLMN", range(1, 6), strict=True)),
    "P": 7,
    "R": 9,
    **dict(zip("STUVWXYZ", range(2, 10), strict=True)),
}
LOOKALIKES = {"I": "1", "O": "0", "Q": "0 or 9"}
# In North America the seventh character of cars and light trucks says which turn of the
# thirty-year letter circle is meant: a digit up to 2009, a letter from 2010 on.
FIRST_LETTER_YEAR = 2010
SOURCE = "49 CFR 565.15"


@dataclass(frozen=True, kw_only=True, slots=True)
class VinReport:
    """What a typed VIN says. `fault` makes it unusable; a wrong digit may be kept with a reason."""

    vin: str
    fault: str = ""
    total: int = 0
    expected: str = ""
    given: str = ""
    years: tuple[int, ...] = ()
    region: str = ""

    @property
    def is_right(self) -> bool:
        return not self.fault and self.expected == self.given

    @property
    def digit_sentence(self) -> str:
        """Why the check digit is wrong, with both digits; empty when there is nothing to say."""
        if self.fault or self.is_right:
            return ""
        return (
            f"VIN {self.vin}: character {CHECK_POSITION}, the check digit, is {self.given}; "
            f"the other characters give {self.expected}. Read the plate once more."
        )

    @property
    def year_words(self) -> str:
        return " or ".join(str(year) for year in self.years) or "not known"


def tidy(typed: str) -> str:
    """Capitals without spaces and dashes, as people read a plate aloud in groups."""
    return "".join(typed.split()).replace("-", "").upper()


def weighted_sum(vin: str) -> int:
    """Sum of value times weight over all 17 characters. Source: 49 CFR 565.15(c).

    >>> weighted_sum("1G4AH59H45G118341")
    411
    """
    return sum(VALUES[char] * weight for char, weight in zip(vin, WEIGHTS, strict=True))


def check_digit(vin: str) -> str:
    """Remainder of the weighted sum by 11; 10 is written X. Source: 49 CFR 565.15(c).

    >>> check_digit("1M8GDM9AXKP042788")
    'X'
    """
    remainder = weighted_sum(vin) % 11
    return "X" if remainder == 10 else str(remainder)


def find_fault(vin: str) -> str:
    """Why these characters cannot be a VIN, naming each wrong one and its place."""
    wrong = [_wrong(char, place) for place, char in enumerate(vin, 1) if char not in VALUES]
    if wrong:
        return f"VIN {vin}: {'; '.join(wrong)}."
    if len(vin) != LENGTH:
        return f"VIN {vin} has {len(vin)} characters; a VIN has {LENGTH}."
    return ""


def _wrong(char: str, place: int) -> str:
    meant = LOOKALIKES.get(char)
    if meant:
        return f"character {place} is {char}, which no VIN has; it is likely {meant}"
    return f"character {place} is {char}; a VIN has letters and digits only"


def report(typed: str) -> VinReport:
    vin = tidy(typed)
    fault = find_fault(vin)
    if fault:
        return VinReport(vin=vin, fault=fault)
    facts = Vin(vin)
    return VinReport(
        vin=vin,
        total=weighted_sum(vin),
        expected=check_digit(vin),
        given=vin[CHECK_POSITION - 1],
        years=_years(vin, facts.years),
        region=facts.region or "",
    )


def _years(vin: str, candidates: list[int]) -> tuple[int, ...]:
    """The candidates that the seventh character allows; all of them when it allows none."""
    late = vin[6].isalpha()
    fitting = [year for year in candidates if (year >= FIRST_LETTER_YEAR) == late]
    return tuple(fitting or candidates)
