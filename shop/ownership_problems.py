"""What follows from whose an instrument is. The page prints it, the action refuses by it."""

from django.urls import reverse

from instruments.models import Instrument
from instruments.models.together import asking
from instruments.problems import Blocker, Caution, Problem
from shop.models import Promise, TakenIn
from shop.ownership import Ownership, ownership_of
from shop.states import PromiseKind
from workorders.models import WorkOrder


@asking
def ownership_problems(instrument: Instrument, *, with_names: bool = True, owned: Ownership | None = None):
    """Why it is not the shop's to price, list, lend or sell; without a name for those who need none."""
    owned = owned or (yield from ownership_of.later(instrument))
    if owned.may_be_offered:
        return []
    whose = f"belongs to {owned.person}" if with_names else "is a customer’s own"
    here = "is here for work only" if owned.is_here else "was here for work"
    return [
        Blocker(
            f"{instrument.maker_name} {instrument.stock_number} {whose} and {here}: it cannot be priced, "
            "offered, lent or sold. If the shop buys it, log it as stock and point to it from there.",
            reverse("instrument", args=[instrument.stock_number]),
        )
    ]


def taking_in_problems(instrument: Instrument) -> list[Problem]:
    """Why a piano on file cannot be taken in for its owner: it is here already, or it is still ours."""
    taken_in = TakenIn.objects.here().filter(instrument=instrument).first()
    if taken_in:
        day = f"{taken_in.taken_in_on:%-d %B %Y}"
        return [Blocker(f"It has been here since {day}, by {taken_in.number}.", taken_in.get_absolute_url())]
    is_theirs = TakenIn.objects.filter(instrument=instrument, was_ours=False).exists()
    sold = Promise.objects.open().filter(instrument=instrument, kind=PromiseKind.SALE).exists()
    if is_theirs or sold:
        return []
    return [Blocker("It is the shop’s own. Only a piano that was sold can come back as its owner’s.")]


def handing_back_problems(taken_in: TakenIn) -> list[Problem]:
    """Why it cannot go home: it has gone, or an order on it is still open."""
    if not taken_in.is_here:
        back = f"{taken_in.handed_back_on:%-d %B %Y}"
        return [Blocker(f"{taken_in.number} was handed back on {back}.", taken_in.get_absolute_url())]
    return [
        Blocker(
            f"{order.number} “{order.title}” is still open: call it ready or give it up first.",
            order.get_absolute_url(),
        )
        for order in WorkOrder.objects.open().filter(instrument=taken_in.instrument_id)
    ]


def overdue_cautions(taken_in: TakenIn, *, on) -> list[Problem]:
    if not taken_in.is_here or taken_in.until >= on:
        return []
    return [
        Caution(
            f"It was to go home by {taken_in.until:%-d %B %Y}. Agree a new day in writing. What may be "
            "charged or done with goods nobody collects is a matter of local law: take advice first."
        )
    ]
