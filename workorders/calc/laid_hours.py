"""One person's time at the bench with what is laid on it, minute by minute."""

from collections.abc import Callable, Hashable, Iterable
from datetime import date, timedelta
from typing import NamedTuple

from workorders.calc.bench_days import A_DAY

HORIZON = timedelta(days=730)
WHOLE_DAY = 24 * 60
Key = Hashable
Bench = Callable[[date], int]


class Moment(NamedTuple):
    """So many minutes into the bench hours of a day; everybody's hours begin together."""

    day: date
    minute: int


class Piece(NamedTuple):
    """Minutes of one item on one day of one person."""

    day: date
    first_minute: int
    minutes: int

    @property
    def starts(self) -> Moment:
        return Moment(self.day, self.first_minute)

    @property
    def ends(self) -> Moment:
        return Moment(self.day, self.first_minute + self.minutes)


class LaidHours:
    """One person's time at the bench, and what has been laid on it."""

    def __init__(self, minutes_on: Bench, on: date, used: int):
        self.minutes_on, self.on, self.last_day = minutes_on, on, on + HORIZON
        self.full_before = on  # every earlier day is full
        self.has_any = any(minutes_on(on + A_DAY * number) for number in range(HORIZON.days + 1))
        self.taken: dict[date, list[tuple[int, int, Key | None]]] = {}
        if used > 0:
            self.taken[on] = [(0, used, None)]

    def earliest(self, minutes: int, ready: Moment) -> list[Piece]:
        """The earliest free minutes from `ready` on; [] when there are not enough within the horizon."""
        pieces, day = [], max(ready.day, self.full_before)
        while minutes and day <= self.last_day:
            for first, end in self._gaps(day, ready.minute if day == ready.day else 0):
                length = min(minutes, end - first)
                pieces.append(Piece(day, first, length))
                minutes -= length
                if not minutes:
                    break
            day += A_DAY
        return [] if minutes else pieces

    def take(self, key: Key, pieces: Iterable[Piece]) -> None:
        for piece in pieces:
            taken = self.taken.setdefault(piece.day, [])
            taken.append((piece.first_minute, piece.ends.minute, key))
            taken.sort(key=lambda each: each[:2])
        while self.full_before < self.last_day and not self._gaps(self.full_before, 0):
            self.full_before += A_DAY

    def last_before(self, moment: Moment, ready: Moment) -> Key | None:
        """What is laid last between `ready` and a moment."""
        day = moment.day
        while day >= ready.day:
            ends = [
                (end, key)
                for _, end, key in self.taken.get(day, ())
                if ready < Moment(day, end) <= moment and key is not None
            ]
            if ends:
                return max(ends, key=lambda each: each[0])[1]
            day -= A_DAY
        return None

    def between(self, starts: Moment, ends: Moment) -> tuple[Key, ...]:
        """What is laid between two moments, each once and in its order."""
        day, found = starts.day, {}
        while day <= ends.day:
            for first, _, key in self.taken.get(day, ()):
                if starts <= Moment(day, first) < ends and key is not None:
                    found[key] = None
            day += A_DAY
        return tuple(found)

    def _gaps(self, day: date, from_minute: int) -> list[tuple[int, int]]:
        gaps, at, closes = [], from_minute, self.minutes_on(day)
        for first, end, _ in self.taken.get(day, ()):
            if at < min(first, closes):
                gaps.append((at, min(first, closes)))
            at = max(at, end)
        if at < closes:
            gaps.append((at, closes))
        return gaps
