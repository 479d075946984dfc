"""What happened in the invented shop, in the order of its days."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from shop.demo.clock import clock_at

OPENS_AT = time(8, 40)
FIRST_WITHIN = 95  # minutes after opening
BETWEEN_ENTRIES = timedelta(minutes=13)
SUNDAY = 6


@dataclass
class Diary:
    """Entries may come in any order; `live` does them day by day, those of a day as they were written."""

    today: date
    entries: list[tuple[int, Callable[[date], object]]] = field(default_factory=list)

    def day(self, days_ago: int) -> date:
        """The working day so long ago; what would fall on a Sunday was done the day before."""
        day = self.today - timedelta(days=days_ago)
        return day - timedelta(days=1) if day.weekday() == SUNDAY else day

    def on(self, days_ago: int, act: Callable[[date], object]) -> None:
        if days_ago < 1:
            raise ValueError("The diary ends yesterday; the future is not written yet.")
        self.entries.append((days_ago, act))

    def live(self, report: Callable[[date], object]) -> None:
        """Do every entry with the clock standing at its day, and `report` each day first."""
        moment = datetime.min.replace(tzinfo=timezone.get_current_timezone())
        for days_ago, act in sorted(self.entries, key=lambda entry: -entry[0]):
            day = self.day(days_ago)
            moment = max(first_moment_of(day), moment + BETWEEN_ENTRIES)
            report(day)
            with clock_at(moment):
                act(day)


def first_moment_of(day: date) -> datetime:
    """Nobody writes the first line at the same minute every morning."""
    later = timedelta(minutes=day.toordinal() * 37 % FIRST_WITHIN)
    return timezone.make_aware(datetime.combine(day, OPENS_AT)) + later
