"""What an agreement with an owner allows. The page prints it, the action refuses by it."""

from datetime import date
from functools import cache

from django.db import connection
from django.utils import timezone

from instruments.models import Instrument
from instruments.models.worded import ASKED, Worded
from instruments.problems import Blocker, Caution, Problem
from shop.models import SaleOrReturn
from workorders.currency import in_words


def standing_agreement(instrument: Instrument) -> SaleOrReturn | None:
    return _standing(connection.vendor).asking(instrument.pk).first()


@cache
def _standing(vendor: str) -> Worded:
    agreements = SaleOrReturn.objects.standing().filter(instrument=ASKED)
    return Worded.of(agreements.select_related("owner")[:1])


def owner_problems(
    instrument: Instrument, *, act: str, price_minor: int | None = None, on: date | None = None
) -> list[Problem]:
    """For lending or selling what is here on sale or return."""
    agreement = standing_agreement(instrument)
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
