"""What stands between a customer's wish and the work. The page prints it, the action refuses by it."""

from collections.abc import Mapping, Sequence
from datetime import date

from django.db.models import Q, QuerySet

from instruments.calc.exact import plain
from instruments.models import Instrument
from instruments.models.together import asking
from instruments.models.worded import ASKED, of_one
from instruments.problems import Blocker, Caution, Problem
from shop.commissions import Standing, curve_wished, standing_of
from shop.models import Commission, Promise, Quote, TakenIn, Wish
from shop.models.commission import OWN_CURVE
from shop.states import CommissionState
from workorders.currency import in_words
from workorders.models import WorkOrder
from workorders.order_rules import OrderRule

MOST_WISHES = 8
LIGHTEST_G, HEAVIEST_G = 30, 90


def opening_problems(*, promise: Promise | None = None, taken_in: TakenIn | None = None) -> list[Problem]:
    """Why no commission can be made for this: the dealing has ended, or the piano has gone home."""
    if promise and not promise.is_open:
        return [Blocker(f"This {promise.get_kind_display().lower()} has ended; nothing is agreed on it now.")]
    if taken_in and not taken_in.is_here:
        return [Blocker("It has gone home. Take it in again first.", taken_in.get_absolute_url())]
    return []


def quoting_problems(standing: Standing) -> list[Problem]:
    """Why no further version can be quoted."""
    commission = standing.commission
    if commission.withdrawn_on:
        return [Blocker(f"{commission.number} is withdrawn.")]
    if not commission.order.is_open:
        number = commission.order.number
        return [
            Blocker(
                f"{number} is closed: take it up again before its work changes.",
                commission.order.get_absolute_url(),
            )
        ]
    return fallen_through_problems(commission)


def wishes_problems(wishes: Sequence[Mapping], instrument: Instrument) -> list[Problem]:
    """What cannot be quoted as it is: no wish at all, two touches, a touch that no action gives."""
    if not 0 < len(wishes) <= MOST_WISHES:
        return [Blocker(f"A quote has one to {MOST_WISHES} wishes.")]
    touches = [wish for wish in map(_as_wish, wishes) if wish.is_of_touch]
    if len(touches) > 1:
        return [Blocker("A piano has one touch: wish for it in one line.")]
    curve = curve_wished(touches, instrument)
    weights = (curve.bass_g, curve.middle_g, curve.treble_g) if curve else ()
    if all(LIGHTEST_G <= grams <= HEAVIEST_G for grams in weights):
        return []
    asked = " / ".join(plain(grams) for grams in weights)
    return [
        Blocker(f"That would be {asked} g down; between {LIGHTEST_G} and {HEAVIEST_G} g can be asked for.")
    ]


def _as_wish(fields: Mapping) -> Wish:
    return Wish(**{name: fields[name] for name in ("touch_shift_g", *OWN_CURVE) if name in fields})


def approval_problems(standing: Standing, quote: Quote, *, approved_on: date | None = None) -> list[Problem]:
    """Why this version cannot be approved, or not on that day."""
    problems = quoting_problems(standing)
    if quote != standing.present:
        problems.append(Blocker(f"Version {quote.version} does not stand any more. Read the page again."))
    if hasattr(quote, "approval"):
        problems.append(Blocker(f"{quote.approval}."))
    if approved_on and approved_on > quote.valid_until:
        until = f"{quote.valid_until:%-d %B %Y}"
        problems.append(Blocker(f"The quote held until {until}. Issue it again, and have that approved."))
    if approved_on and approved_on < quote.issued_on:
        problems.append(Blocker("It cannot have been approved before it was issued."))
    return problems


def extra_problems(standing: Standing, price_minor: int) -> list[Problem]:
    """Why this extra needs a new version: no cap was agreed, or it would be passed."""
    if standing.waits_for_approval or standing.in_force is None:
        return [Blocker("The present version is not approved yet; put the extra into a version of its own.")]
    problems = quoting_problems(standing)
    quote = standing.in_force
    left = quote.extras_cap_minor - sum(extra.price_minor for extra in quote.extras.all())
    if price_minor > left:
        has = f"{in_words(left)} of it is left" if quote.extras_cap_minor else "none was agreed"
        problems.append(
            Blocker(f"More than the extras agreed without asking again: {has}. Quote it as a change.")
        )
    return problems


def withdrawing_problems(standing: Standing) -> list[Problem]:
    if standing.commission.withdrawn_on:
        return [Blocker(f"{standing.commission.number} is withdrawn already.")]
    if not standing.commission.order.is_open:
        return [Blocker("Its work is done; there is nothing to withdraw.")]
    if not standing.is_begun:
        return []
    return [
        Caution(
            "Work on it has begun. To be paid for what was done, agree it as a last version first, with that "
            "price; then call the order ready instead."
        )
    ]


def money_cautions(standing: Standing) -> list[Problem]:
    cautions = []
    if standing.deposit_to_pay_minor and standing.state in {
        CommissionState.APPROVED,
        CommissionState.IN_WORK,
    }:
        cautions.append(Caution(f"{in_words(standing.deposit_to_pay_minor)} of the deposit is not paid yet."))
    if standing.to_give_back_minor:
        cautions.append(
            Caution(f"{in_words(standing.to_give_back_minor)} more was paid than is agreed: give it back.")
        )
    return cautions


def fallen_through_problems(commission: Commission) -> list[Problem]:
    if not Commission.objects.fallen_through().filter(pk=commission.pk).exists():
        return []
    kind = commission.promise.get_kind_display().lower()
    return [
        Blocker(
            f"The {kind} that {commission.number} was made for has ended. Withdraw it, or promise the piano "
            "to the same person again.",
            commission.get_absolute_url(),
        )
    ]


@asking
def beginning_problems_of(order: WorkOrder):
    """Why the work of this order may not begin: its customer has not approved the present version."""
    (standing,) = yield (_standing(order.pk),)
    if (commission := standing.first()) is None:
        return []
    standing = standing_of(commission)
    problems = fallen_through_problems(commission)
    if not standing.waits_for_approval:
        return problems
    if standing.present is None:
        words = f"{commission.number} is not quoted yet"
    else:
        words = f"Version {standing.present.version} of {commission.number} is not approved in writing yet"
    return [
        *problems,
        Blocker(
            f"{words}: no work on it begins before the customer’s approval.", commission.get_absolute_url()
        ),
    ]


@of_one
def _standing() -> QuerySet[Commission]:
    return Commission.objects.standing().filter(order=ASKED).select_related("order", "promise")


def more_work_cautions(order: WorkOrder) -> list[Problem]:
    """What the owner should know before work is added to an order that a customer wished for."""
    commission = Commission.objects.standing().filter(order=order).first()
    if commission is None:
        return []
    words = f"{commission.number} is a customer’s wish: what is to be charged for this needs a new version"
    return [Caution(f"{words}, approved in writing first.", commission.get_absolute_url())]


def orders_held_up(instruments=None):
    """The keys of the open orders that may not begin, as `beginning_problems_of` says of each."""
    waiting = Commission.objects.not_approved().values("order")
    fallen = Commission.objects.fallen_through().values("order")
    held = Q(pk__in=waiting) | Q(pk__in=fallen)
    return WorkOrder.objects.open().filter(held).values_list("pk", flat=True)


APPROVED_FIRST = OrderRule(
    problems=beginning_problems_of, held_up=orders_held_up, waits_for="the customer’s approval"
)
