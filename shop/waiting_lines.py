"""A line of what waits, a group of them, and how such lines name a piano and a day."""

from dataclasses import dataclass, field
from datetime import date, timedelta

from instruments.models import Instrument

MOST = 8
SOON = timedelta(days=14)


@dataclass(frozen=True)
class Waiting:
    words: str
    detail: str
    url: str
    is_late: bool = False


@dataclass(frozen=True)
class Group:
    heading: str
    lines: list[Waiting] = field(default_factory=list)
    empty: str = ""
    more_url: str = ""


def named(instrument: Instrument) -> str:
    """Maker and stock number, the number kept whole at the end of a line."""
    number = instrument.stock_number.replace("-", "\N{NON-BREAKING HYPHEN}")
    return f"{instrument.maker_name} {number}"


def day_words(day: date, on: date) -> str:
    days = (day - on).days
    if days < 0:
        return f"{-days} day{'s' if days != -1 else ''} late ({day:%-d %B})"
    return "today" if days == 0 else f"in {days} day{'s' if days != 1 else ''} ({day:%-d %B})"
