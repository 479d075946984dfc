"""What stands against an entry in the books, or against closing a period of them."""

from datetime import date, timedelta

from django.db import connection
from django.db.models import Min

from instruments.models.worded import Worded, beforehand
from instruments.problems import Blocker, Problem
from shop.models import BookLine, BookPeriod


def closed_until() -> date | None:
    """The last day of the last closed period."""
    return _last_ends(connection.vendor).first()


@beforehand
def _last_ends(vendor: str) -> Worded:
    return Worded.of(BookPeriod.objects.order_by("-ends_on").values_list("ends_on", flat=True)[:1])


def is_closed(day: date) -> bool:
    last = closed_until()
    return last is not None and day <= last


def dating_problems(day: date) -> list[Problem]:
    """A sale, a fee or a rate is never dated inside a closed period."""
    last = closed_until()
    if last is None or day > last:
        return []
    return [
        Blocker(
            f"The books are closed up to {last:%-d %B %Y}, so nothing more is dated {day:%-d %B %Y}. "
            "Enter it on a day that is open; a correction stands there too."
        )
    ]


def first_open_day() -> date | None:
    """The day after the last closed period; before any is closed, the day of the first line."""
    last = closed_until()
    return last + timedelta(days=1) if last else BookLine.objects.aggregate(day=Min("entered_on"))["day"]


def closing_problems(starts_on: date, ends_on: date, *, today: date) -> list[Problem]:
    problems: list[Problem] = []
    if ends_on < starts_on:
        problems.append(Blocker("The last day lies before the first."))
    if ends_on >= today:
        problems.append(Blocker("A period can be closed once its last day has passed."))
    last, first = closed_until(), first_open_day()
    if last and starts_on != last + timedelta(days=1):
        problems.append(
            Blocker(
                f"Periods are closed in order: the next one begins on {last + timedelta(days=1):%-d %B %Y}."
            )
        )
    elif not last and first and starts_on > first:
        problems.append(
            Blocker(f"The books begin on {first:%-d %B %Y}, so the first period begins then or before.")
        )
    return problems
