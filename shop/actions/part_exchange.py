"""What happens to a part exchange after the day of the sale."""

from datetime import date

from django.db import transaction

from instruments.models import Instrument
from instruments.problems import Refused
from shop.actions.settled import note_settled
from shop.models import HandedOver, Sale, UntouchedWaiver


@transaction.atomic
def hand_over(*, sale: Sale, handed_over_on: date, by) -> HandedOver:
    """The day on which the buyer had it; a later row corrects the one before."""
    if handed_over_on < sale.sold_on and not sale.from_trial_id:
        words = f"It was sold on {sale.sold_on:%-d %B %Y}, so they cannot have had it before that day."
        raise Refused(words, about=("handed_over_on",))
    handed = HandedOver.objects.create(sale=sale, handed_over_on=handed_over_on, recorded_by=by)
    note_settled(sale.promise)
    return handed


@transaction.atomic
def waive_untouched(*, instrument: Instrument, reason: str, by) -> UntouchedWaiver:
    """The owner’s word that a part exchange need not stay as it came, with the reason that answers for it."""
    if not by.has_perm("shop.run_shop"):
        raise Refused("Only the owner may waive it.")
    return UntouchedWaiver.objects.create(instrument=instrument, reason=reason, recorded_by=by)
