"""What stands against handing back a piano that came in part exchange, and whether one was handed back."""

from django.db.models import Exists, OuterRef, QuerySet

from instruments.models import Instrument
from instruments.models.together import asking
from instruments.models.worded import ASKED, of_one
from instruments.problems import Blocker, Problem
from shop.models import BookLine
from shop.states import LineKind, PurchaseRoute
from workorders.models import PartUsed, TimeSpent


def handing_back_problems(instrument: Instrument) -> list[Problem]:
    """It goes back in its original state (CRA 2015 s.20(12)): not when sold, promised or worked on."""
    if instrument.promises.open().exists():
        return [
            Blocker(
                f"{instrument} came in part exchange and is promised to somebody else by now, so it cannot "
                "be handed back. Agree on its allowance in money with the customer."
            )
        ]
    worked_on = {"item__order__instrument": instrument}
    if TimeSpent.objects.filter(**worked_on).exists() or PartUsed.objects.filter(**worked_on).exists():
        return [
            Blocker(
                f"{instrument} came in part exchange and has been worked on, so it cannot be handed back in "
                "its original state. Agree on its allowance in money, and take licensed advice."
            )
        ]
    return []


def handed_back(instruments: QuerySet[Instrument]) -> QuerySet[Instrument]:
    """Taken in part exchange once, and that purchase taken back: no longer ours."""
    bought = BookLine.objects.filter(
        instrument=OuterRef("pk"), kind=LineKind.BOUGHT, purchase__route=PurchaseRoute.PART_EXCHANGE
    )
    return instruments.filter(Exists(bought), ~Exists(bought.standing()))


@asking
def handed_back_problems(instrument: Instrument):
    (went_back,) = yield (_if_handed_back(instrument.pk),)
    if not went_back:
        return []
    return [Blocker(f"{instrument} went back to who brought it in part exchange: it is not ours to offer.")]


@of_one
def _if_handed_back() -> QuerySet:
    return handed_back(Instrument.objects.filter(pk=ASKED)).values_list("pk")
