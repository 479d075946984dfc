"""What stands against the day of a sale that is entered late."""

from datetime import date

from django.utils import timezone

from instruments.models import Instrument
from instruments.problems import Blocker, Problem
from shop.book_problems import dating_problems
from shop.states import PromiseKind


def sale_day_problems(instrument: Instrument, day: date) -> list[Problem]:
    """Not before it was ours, nor while somebody else had our word on it, nor in a closed period."""
    problems = dating_problems(day)
    purchase = instrument.purchases.first()
    if purchase and purchase.bought_on and purchase.bought_on > day:
        problems.append(Blocker(f"It was bought on {purchase.bought_on:%-d %B %Y}, after that day."))
    held = instrument.promises.open().filter(kind=PromiseKind.HOLD).first()
    if held and held.opened_on > day:
        problems.append(
            Blocker(f"It was held for {held.person} on {held.opened_on:%-d %B %Y}, after that day.")
        )
    last = instrument.promises.filter(closed_at__isnull=False).order_by("-closed_at").first()
    if last and (ended := timezone.localdate(last.closed_at)) > day:
        words = f"It was promised to {last.person} until {ended:%-d %B %Y}."
        problems.append(Blocker(f"{words} Give that day or a later one."))
    return problems
