"""What waits of customers' wishes and of their own instruments, for the front page."""

from datetime import date

from django.urls import reverse

from instruments.models.together import asking
from shop.commissions import standings_of
from shop.models import Commission, TakenIn
from shop.waiting_lines import MOST, SOON, Group, Waiting, day_words, named


@asking
def approvals_waited_for(on: date):
    """Quotes without a written yes, and wishes without a quote; no group where there is none."""
    standings = yield from standings_of.later(Commission.objects.not_approved()[:MOST])
    lines = [
        Waiting(
            f"{standing.commission.order.title}, {standing.commission.person}",
            _waits_words(standing, on),
            standing.commission.get_absolute_url(),
            is_late=bool(standing.present and standing.present.valid_until < on),
        )
        for standing in standings
    ]
    return [Group("Wishes that wait for a yes", lines, "", reverse("shop:commissions"))] if lines else []


def _waits_words(standing, on: date) -> str:
    if standing.present is None:
        return "not quoted yet"
    words = f"version {standing.present.version} quoted"
    if standing.present.valid_until < on:
        return f"{words}, no longer valid"
    return f"{words}, holds until {standing.present.valid_until:%-d %B}"


@asking
def customers_own_going_home(on: date):
    """Customers' own instruments that are due home; no group where there is none."""
    rows = TakenIn.objects.here().filter(until__lte=on + SOON).select_related("instrument", "person")
    (rows,) = yield (rows.order_by("until")[:MOST],)
    lines = [
        Waiting(
            f"{named(each.instrument)} to {each.person}",
            day_words(each.until, on),
            each.get_absolute_url(),
            is_late=each.until < on,
        )
        for each in rows
    ]
    return [Group("Customers’ own pianos going home", lines)] if lines else []
