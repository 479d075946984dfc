"""A shop of any size, with all that hangs on its instruments, written in bulk for measuring.

    DATABASE_URL=… python -m tests.bench.filled_shop 100000

The database has to be new. The proportions are a guess at a shop that has traded for thirty years (common
practice, no source): four of five instruments sold, half of what is left in the window, one in twenty held or
out on trial, one in eight on the bench. Rows are written past the rules and the history: nothing here shows
that they hold, only how long a page takes. The same size gives the same rows.
"""

import os
import sys
from datetime import date, timedelta
from importlib import import_module

import django
from django.core.management import call_command

TODAY = date.today()
THIRTY_YEARS = 10_950


def sold(number: int, size: int) -> bool:
    """Of the older most are; of the newest seventh one in ten."""
    return number % 16 != 0 if number <= size * 0.85 else number % 10 == 0


def in_window(number: int) -> bool:
    return number % 2 == 0


def held(number: int) -> bool:
    return number % 40 == 7


def on_trial(number: int) -> bool:
    return number % 50 == 9


def day_of(number: int, size: int) -> date:
    """When it came, the oldest thirty years ago."""
    return TODAY - timedelta(days=2 + (size - number) * THIRTY_YEARS // size)


def main(size: str) -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    django.setup()
    call_command("migrate", verbosity=0)
    import_module("tests.bench.filling").fill(int(size), say=print)  # its models are only loaded by now


if __name__ == "__main__":
    main(sys.argv[1])
