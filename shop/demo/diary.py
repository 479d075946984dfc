"""What happened in the invented shop, in the order of its days."""

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta

from django.utils import timezone

from shop.demo.clock import clock_at

OPENS_AT = time(9, 5)
BETWEEN_ENTRIES = timedelta(minutes=4)
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

    def live(self) -> None:
        moment = datetime.min.replace(tzinfo=timezone.get_current_timezone())
        for days_ago, act in sorted(self.entries, key=lambda entry: -entry[0]):
            day = self.day(days_ago)
            opening = timezone.make_aware(datetime.combine(day, OPENS_AT))
            moment = max(opening, moment + BETWEEN_ENTRIES)
            with clock_at(moment):
                act(day)
