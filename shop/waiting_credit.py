"""Credit that runs out soon, or has: a person tells the customer in time, and a person takes it off."""

from datetime import date, timedelta

from django.db.models import Sum
from django.db.models.functions import Coalesce
from django.urls import reverse

from instruments.models.together import asking
from shop.calc.credit_terms import Lot, lots_left
from shop.models import CreditEntry, Person
from shop.waiting_lines import MOST, Group, Waiting, day_words
from workorders.currency import in_words

IN_GOOD_TIME = timedelta(days=30)
MOST_LOOKED_AT = 200


@asking
def credit_running_out(on: date, user):
    """No group at all where nothing runs out; the longest overdue first."""
    soon = yield from _soon(on)
    lines = sorted(soon, key=lambda line: line[1].runs_out_on)[:MOST]
    waiting = [
        _waiting(person, lot, on, may_take_off=user.has_perm("shop.run_shop")) for person, lot in lines
    ]
    return [Group("Credit that runs out: tell them in time", waiting)] if waiting else []


def _soon(on: date):
    """Pairs of a person and a `Lot`: of everybody with credit and an entry that ends soon, what is left."""
    by_card = CreditEntry.objects.order_by().annotate(card=Coalesce("person__merged_into", "person"))
    soon = by_card.filter(runs_out_on__lte=on + IN_GOOD_TIME).values("card")
    doubles = Person.objects.order_by().filter(merged_into__in=soon).values("pk")
    theirs = by_card.filter(person__in=soon.union(doubles))
    in_credit = theirs.values("card").annotate(left=Sum("amount_minor"))
    (cards,) = yield (in_credit.filter(left__gt=0).order_by("card").values("card")[:MOST_LOOKED_AT],)
    cards = [row["card"] for row in cards]
    rows = by_card.filter(card__in=cards).order_by("id")
    people, rows = yield (
        Person.objects.filter(pk__in=cards),
        rows.values_list("card", "amount_minor", "promise_id", "runs_out_on"),
    )
    people = {person.pk: person for person in people}
    entries: dict[int, list] = {pk: [] for pk in people}
    for person, *entry in rows:
        entries[person].append(tuple(entry))
    return [
        (people[pk], lot)
        for pk, written in entries.items()
        for lot in lots_left(written)
        if lot.runs_out_on and lot.runs_out_on <= on + IN_GOOD_TIME
    ]


def _waiting(person: Person, lot: Lot, on: date, *, may_take_off: bool) -> Waiting:
    page = reverse("shop:credit_ran_out", args=[person.pk])
    return Waiting(
        f"{in_words(lot.amount_minor)} of {person}",
        day_words(lot.runs_out_on, on),
        page if may_take_off else f"{person.get_absolute_url()}#account",
        is_late=lot.runs_out_on < on,
    )
