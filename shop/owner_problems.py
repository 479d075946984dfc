"""What an agreement with an owner allows. The page prints it, the action refuses by it."""

from datetime import date

from django.db.models import QuerySet
from django.utils import timezone

from instruments.models import Instrument
from instruments.models.together import asking
from instruments.models.worded import ASKED, of_one
from instruments.problems import Blocker, Caution
from shop.models import SaleOrReturn
from workorders.currency import in_words


@asking
def standing_agreement(instrument: Instrument):
    """As `SaleOrReturn`, or None."""
    return (yield (_standing(instrument.pk),))[0].first()


@of_one
def _standing() -> QuerySet[SaleOrReturn]:
    return SaleOrReturn.objects.standing().filter(instrument=ASKED).select_related("owner")[:1]


@asking
def owner_problems(
    instrument: Instrument, *, act: str, price_minor: int | None = None, on: date | None = None
):
    """For lending or selling what is here on sale or return."""
    agreement = yield from standing_agreement.later(instrument)
    if agreement is None:
        return []
    problems, page = [], agreement.get_absolute_url()
    if act == "lending" and not agreement.may_be_lent:
        problems.append(Blocker("Its owner has not agreed to home trials.", page))
    if price_minor is not None and price_minor < agreement.least_minor:
        least = in_words(agreement.least_minor)
        problems.append(Blocker(f"Its owner agreed to no less than {least}: ask them first.", page))
    if agreement.until < (on or timezone.localdate()):
        problems.append(Caution(f"The agreement with its owner ended on {agreement.until:%-d %B %Y}.", page))
    return problems
