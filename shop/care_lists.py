"""Whose piano is due: the sales with after-care, soonest first, for the list and for what waits today."""

from datetime import date

from instruments.models.together import asking
from shop.after_care import CareStanding, cares_asked_for
from shop.models import Sale, SaleCare

MOST_SALES = 800  # the newest; older ones are found through the instrument or the person
SHOWN = {"due": "Due", "overdue": "Overdue", "all": "All"}


@asking
def standings_in_care(*, on: date):
    """`CareStanding` of sales that stand and have after-care agreed; in a fixed number of queries."""
    agreed = SaleCare.objects.order_by().values("sale")
    sales = Sale.objects.filter(pk__in=agreed, promise__closed_at__isnull=True)
    cares = yield from cares_asked_for.later(sales[:MOST_SALES], on=on)
    return sorted(cares, key=_soonest)


def shown_of(standings: list[CareStanding], shown: str) -> list[CareStanding]:
    if shown == "overdue":
        return [each for each in standings if each.is_late]
    return standings if shown == "all" else [each for each in standings if each.waits]


def _soonest(standing: CareStanding) -> tuple:
    due = standing.next_due_on if standing.is_reminded else None
    return due or date.max, standing.sale.pk
