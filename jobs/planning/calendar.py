"""Days and slots of working time: Monday to Friday, less the shop's free days."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

ONE_DAY = timedelta(days=1)
LONGEST_DAYS = 4_000


@dataclass(frozen=True, kw_only=True, slots=True)
class Calendar:
    """Slot 0 is the first of `start`, or of the first working day after it."""

    start: date
    day_slots: int
    free: frozenset[date] = frozenset()

    def works(self, day: date) -> bool:
        return day.weekday() < 5 and day not in self.free

    def days(self) -> Iterator[date]:
        """Working days from the start on."""
        day = self.start
        for _ in range(LONGEST_DAYS):
            if self.works(day):
                yield day
            day += ONE_DAY

    def day_of(self, slot: int) -> date:
        """The working day a slot lies on."""
        wanted = slot // self.day_slots
        last = self.start
        for place, day in enumerate(self.days()):
            last = day
            if place == wanted:
                return day
        return last

    def first_slot(self, day: date) -> int:
        """The first slot on or after a day; 0 for days that are past."""
        return self._days_before(day) * self.day_slots

    def end_of(self, day: date) -> int:
        """The slot after the last one of a day: what is done by then is in time."""
        today = day >= self.start and self.works(day)
        return (self._days_before(day) + today) * self.day_slots

    @property
    def slots(self) -> int:
        """How many can be planned at all."""
        return sum(1 for _ in self.days()) * self.day_slots

    def _days_before(self, day: date) -> int:
        if day <= self.start:
            return 0
        whole, rest = divmod((day - self.start).days, 7)
        count = whole * 5 + sum(
            (self.start + timedelta(days=one)).weekday() < 5 for one in range(rest)
        )
        return count - sum(self.start <= one < day and one.weekday() < 5 for one in self.free)
