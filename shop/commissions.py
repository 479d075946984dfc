"""How far each commission has got: its versions, what is approved, what is paid, and what it waits for."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Exists, OuterRef, QuerySet, prefetch_related_objects

from instruments.calc.exact import plain
from instruments.drawings.touch_chart import Curve
from instruments.models import Instrument
from instruments.models.together import asking, hand_on_each
from instruments.touch import curve_of
from shop.models import Commission, Extra, Payment, Promise, Quote, Wish
from shop.states import CommissionState
from workorders.models import TimeSpent, WorkItem, WorkOrder
from workorders.states import ItemState, OrderState

OF_A_QUOTE = ("approval__document", "taken_back", "paper", "issued_by")


@dataclass(frozen=True)
class Standing:
    """One commission as it stands. Versions newest first; amounts in minor units, with tax."""

    commission: Commission
    quotes: tuple[Quote, ...]
    paid_minor: int
    is_begun: bool

    @property
    def present(self) -> Quote | None:
        """The newest version that was not taken back: the one the customer has to have approved."""
        return next((quote for quote in self.quotes if not hasattr(quote, "taken_back")), None)

    @property
    def in_force(self) -> Quote | None:
        """The newest version that was approved and still stands."""
        return next(
            (
                quote
                for quote in self.quotes
                if hasattr(quote, "approval") and not hasattr(quote, "taken_back")
            ),
            None,
        )

    @property
    def waits_for_approval(self) -> bool:
        return not self.commission.withdrawn_on and (self.present is None or self.present != self.in_force)

    @property
    def quoted_minor(self) -> int:
        return total_of(self.present) if self.present else 0

    @property
    def extras_minor(self) -> int:
        """Every extra stands: the cap of a later version counts only what comes under that version."""
        return sum(extra.price_minor for quote in self.quotes for extra in quote.extras.all())

    @property
    def approved_minor(self) -> int:
        """What the customer has agreed to pay; nothing more once the wish is withdrawn."""
        if self.commission.withdrawn_on or self.in_force is None:
            return 0
        return total_of(self.in_force) + self.extras_minor

    @property
    def to_pay_minor(self) -> int:
        return max(0, self.approved_minor - self.paid_minor)

    @property
    def to_give_back_minor(self) -> int:
        return max(0, self.paid_minor - self.approved_minor)

    @property
    def deposit_to_pay_minor(self) -> int:
        wanted = self.in_force.deposit_minor if self.in_force else 0
        return max(0, min(wanted, self.approved_minor) - self.paid_minor)

    @property
    def state(self) -> CommissionState:
        if self.commission.withdrawn_on:
            return CommissionState.WITHDRAWN
        if self.present is None:
            return CommissionState.UNQUOTED
        if self.present != self.in_force:
            return CommissionState.CHANGED if self.in_force else CommissionState.QUOTED
        if self.commission.order.state == OrderState.READY:
            return CommissionState.DONE if self.to_pay_minor else CommissionState.SETTLED
        return CommissionState.IN_WORK if self.is_begun else CommissionState.APPROVED


def taxable_lines(commission: Commission) -> list[tuple[str, int]]:
    """What is charged for the work, in minor units with tax: ordinary work, never by the margin scheme."""
    standing = standing_of(commission)
    if commission.withdrawn_on or standing.in_force is None:
        return []
    extras = [extra for quote in standing.quotes for extra in quote.extras.all()]
    return [(line.words, line.price_minor) for line in (*standing.in_force.wishes.all(), *extras)]


def total_of(quote: Quote) -> int:
    return sum(wish.price_minor for wish in quote.wishes.all())


def commissions_of(promise: Promise) -> QuerySet[Commission]:
    """Made for this promise, or for an earlier one of the same piano to the same person: a hold, a trial."""
    return Commission.objects.filter(
        promise__instrument=promise.instrument_id, promise__person__in=promise.person.rows()
    )


def standing_of(commission: Commission) -> Standing:
    return standings_of([commission])[0]


@asking
def standings_of(commissions: Iterable[Commission]):
    """Each as it stands, as `Standing`; the number of queries does not grow with them."""
    if isinstance(commissions, QuerySet) and commissions._result_cache is None:
        (commissions,) = yield (commissions.select_related("order__instrument", "person__merged_into"),)
    commissions = list(commissions)
    keys = [each.pk for each in commissions]
    quotes, wishes, extras, payments, begun = yield (
        Quote.objects.filter(commission__in=keys).select_related(*OF_A_QUOTE),
        Wish.objects.filter(quote__commission__in=keys).select_related("item"),
        Extra.objects.filter(quote__commission__in=keys),
        Payment.objects.filter(commission__in=keys).order_by("id"),
        _begun(WorkOrder.objects.filter(commission__in=keys)).values_list("commission", flat=True),
    )
    hand_on_each(quotes, wishes=(wishes, "quote_id"), extras=(extras, "quote_id"))
    hand_on_each(commissions, quotes=(quotes, "commission_id"), payments=(payments, "commission_id"))
    prefetch_related_objects(commissions, "order__instrument", "person__merged_into")
    begun = set(begun)
    return [
        Standing(
            commission=each,
            quotes=tuple(each.quotes.all()),
            paid_minor=sum(payment.amount_minor for payment in each.payments.all()),
            is_begun=each.pk in begun,
        )
        for each in commissions
    ]


def _begun(orders: QuerySet[WorkOrder]) -> QuerySet[WorkOrder]:
    """Those with an item done, or time written down."""
    done = WorkItem.objects.filter(order=OuterRef("pk"), state=ItemState.DONE)
    spent = TimeSpent.objects.filter(item__order=OuterRef("pk"))
    return orders.filter(Exists(done) | Exists(spent))


def curve_wished(wishes: Iterable[Wish], instrument: Instrument) -> Curve | None:
    """The touch that these wishes ask for, from the instrument's own; none where they ask for none."""
    own = curve_of(instrument)
    for wish in wishes:
        if wish.touch_bass_g is not None:
            return Curve(wish.touch_bass_g, wish.touch_middle_g, wish.touch_treble_g, own.tolerance_g)
        if wish.touch_shift_g is not None:
            weights = (own.bass_g, own.middle_g, own.treble_g)
            return Curve(*(grams + wish.touch_shift_g for grams in weights), own.tolerance_g)
    return None


def touch_words(wish: Wish) -> str:
    """ "3 g lighter", or the weights themselves."""
    if wish.touch_shift_g is not None:
        return shift_words(wish.touch_shift_g)
    if wish.touch_bass_g is not None:
        weights = (wish.touch_bass_g, wish.touch_middle_g, wish.touch_treble_g)
        return f"{' / '.join(plain(grams) for grams in weights)} g"
    return ""


def shift_words(grams: Decimal) -> str:
    return f"{plain(abs(grams))} g {'lighter' if grams < 0 else 'heavier'}"
