"""Money in, money back, and value moved between promises. Nothing here stores a balance.

Everything computed from several rows locks the person's row first, before it reads: on PostgreSQL that
serialises two spends of one credit; on SQLite the transaction already holds the one write lock.
"""

from collections.abc import Collection
from datetime import date

from django.db.models import Sum

from instruments.actions.whole import whole
from instruments.problems import Refused
from shop.actions.payments import enter_payment
from shop.actions.settled import note_settled
from shop.actions.stock_book import enter_fee, lessen_fees
from shop.deduction_states import DeductionKind
from shop.models import BookLine, CreditEntry, Deduction, Payment, Person, Promise
from shop.promise_value import Held, credit_on_cards_of, held_in, kept_of, locked_card_of
from shop.states import VALUE_METHODS, CreditKind, PaymentMethod, PaymentPurpose
from workorders.currency import in_words

FEE_WORDS = {
    PaymentPurpose.DELIVERY: "Delivery",
    PaymentPurpose.TUNING: "Tuning",
    PaymentPurpose.HIRE: "Hire",
}


AMOUNTS = ("amount_minor", "pay_now_minor", "deposit_minor")  # as forms call a sum that is paid
CREDITS = ("amount_minor", "credit_minor")


class NotEnough(Refused):
    """More was asked for than is there; the sentence says how much there is."""

    def __init__(self, sentence: str, *, about: Collection[str] = AMOUNTS):
        super().__init__(sentence, about=about)


def lock_person(person: Person) -> Person:
    """The card that stands for this person, held: cards joined with it are spoken for by its row.

    Asked once more when held: whoever waited while the cards were joined or parted would hold the wrong row.
    """
    locked = locked_card_of(person)
    moved = locked.merged_into_id is not None
    if moved or (locked.pk != person.pk and not locked.doubles.filter(pk=person.pk).exists()):
        raise Refused(f"The card of {locked} was joined or parted at this moment. Press once more.")
    return locked


def value_in(promise: Promise) -> int:
    """What has been paid toward a promise and is still in it."""
    return held_in(promise).value_minor


def kept_in(promise: Promise) -> int:
    """What of it is the shop's: deductions that stand, and credit of it that ran out."""
    return kept_of(promise)


def credit_of(person: Person) -> int:
    """Over every card of the person."""
    return credit_on_cards_of(person.standing_id)


def paid_in_money(person: Person) -> int:
    """What they have paid across the counter for anything, less what went back to them."""
    rows = person.whole("payments").exclude(method__in=VALUE_METHODS)
    return rows.aggregate(sum=Sum("amount_minor"))["sum"] or 0


@whole
def take_payment(
    *, promise: Promise, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment:
    person = lock_person(promise.person)
    if amount_minor <= 0:
        raise NotEnough("A payment must be more than nothing.")
    held = held_in(promise)
    _refuse_if_ended(promise, held)
    _refuse_above_the_price(promise, held, amount_minor, AMOUNTS)
    return enter_payment(
        person=person,
        promise=promise,
        amount_minor=amount_minor,
        method=method,
        reference=reference,
        by=by,
        on=on,
    )


def take_for_delivery(**given) -> Payment:
    """Money for bringing it; see `take_fee`."""
    return take_fee(purpose=PaymentPurpose.DELIVERY, **given)


@whole
def take_fee(
    *, promise: Promise, purpose: str, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment:
    """Money for delivery, tuning or hire: apart from the price, and a fee in the books.

    Whether anything of it counts toward an instrument is for the terms of credit, when the trial ends.
    """
    person = lock_person(promise.person)
    if amount_minor <= 0:
        raise NotEnough("A payment must be more than nothing.")
    _refuse_if_ended(promise, held_in(promise))
    payment = enter_payment(
        person=person,
        promise=promise,
        amount_minor=amount_minor,
        purpose=purpose,
        method=method,
        reference=reference,
        by=by,
        on=on,
    )
    enter_fee(
        instrument=promise.instrument,
        person=person,
        amount_minor=amount_minor,
        description=f"{FEE_WORDS[purpose]} of {promise.instrument}",
        payment=payment,
        by=by,
        on=on,
    )
    return payment


def fees_in(promise: Promise, purposes: Collection[str]) -> int:
    """What was paid for these services and is a fee still."""
    if not purposes:
        return 0
    rows = promise.payments.filter(purpose__in=purposes)
    return rows.aggregate(sum=Sum("amount_minor"))["sum"] or 0


@whole
def let_fees_count(*, promise: Promise, amount_minor: int, purposes: Collection[str], by, on: date) -> None:
    """So much of the fees becomes value toward the price: less was charged for the service, as the books say.

    No coin moves: the two sides are payments by the method FEE_COUNTS that add up to nothing.
    """
    person = lock_person(promise.person)
    if amount_minor > fees_in(promise, purposes):
        raise NotEnough("No more can count than was paid in fees.")
    given = {"person": person, "promise": promise, "method": PaymentMethod.FEE_COUNTS}
    given |= {"by": by, "on": on}
    left = amount_minor
    for purpose in sorted(purposes):
        part = min(left, fees_in(promise, {purpose}))
        if part:
            left -= part
            lines = BookLine.objects.standing().filter(payment__promise=promise, payment__purpose=purpose)
            lessen_fees(lines, part, why="It counts toward the price by the terms.", by=by, on=on)
            first = promise.payments.filter(purpose=purpose, amount_minor__gt=0).first()
            enter_payment(amount_minor=-part, purpose=purpose, refunds=first, **given)
    if amount_minor:
        enter_payment(amount_minor=amount_minor, reference="By the terms of credit", **given)


@whole
def refund(
    *, promise: Promise, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment | None:
    """Give money back out of what a promise still holds. Nothing to give back makes no row."""
    person = lock_person(promise.person)
    held, kept = value_in(promise), kept_in(promise)
    if amount_minor > held:
        raise NotEnough(f"No more can be given back than {in_words(held)}: that is what is left of it.")
    if amount_minor == 0:
        return None
    short = kept - (held - amount_minor)
    if short > 0 and Promise.objects.open().filter(pk=promise.pk).exists():
        raise NotEnough("Deductions agreed with them stand against what was paid. Take them back first.")
    if short > 0:
        _give_back_kept(promise, short, by, on)
    return _give_back(person, promise, amount_minor, method, reference, by, on)


@whole
def give_back_allowance(*, promise: Promise, amount_minor: int, by, on: date) -> Payment | None:
    """What was allowed in part exchange leaves the promise with the instrument that is handed back."""
    person = lock_person(promise.person)
    if amount_minor > value_in(promise):
        raise NotEnough("Less than the allowance is left of what was paid. Agree on it in money.")
    if amount_minor == 0:
        return None
    return _give_back(person, promise, amount_minor, PaymentMethod.PART_EXCHANGE, "", by, on)


@whole
def pay_out_credit(
    *, person: Person, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment:
    """Give credit back as money. It goes out by the promise that its newest part came from."""
    person = lock_person(person)
    if amount_minor <= 0:
        raise NotEnough("What is paid out must be more than nothing.")
    _refuse_above_credit(person, amount_minor)
    source = person.whole("credit_entries").filter(kind=CreditKind.FROM_PROMISE).last().promise
    entry = enter_credit(person, source, CreditKind.PAID_OUT, -amount_minor, "", by, on)
    return _give_back(person, source, amount_minor, method, reference, by, on, pays_out=entry)


@whole
def release_to_credit(
    *, promise: Promise, amount_minor: int, note: str, runs_out_on: date | None = None, by, on: date
) -> None:
    """Value leaves a promise and becomes the person's credit, for good or until its last day."""
    person = lock_person(promise.person)
    if amount_minor > value_in(promise):
        raise NotEnough("No more can become credit than was paid.")
    enter_credit(person, promise, CreditKind.FROM_PROMISE, amount_minor, note, by, on, runs_out_on)


@whole
def use_credit(*, promise: Promise, amount_minor: int, note: str, by, on: date) -> None:
    """Credit goes into a promise. Never more than the person has, never more than is still to pay."""
    person, held = lock_person(promise.person), held_in(promise)
    _refuse_if_ended(promise, held)
    _refuse_above_credit(person, amount_minor)
    _refuse_above_the_price(promise, held, amount_minor, CREDITS)
    enter_credit(person, promise, CreditKind.TO_PROMISE, -amount_minor, note, by, on)


def _refuse_above_the_price(promise: Promise, held: Held, amount_minor: int, about: tuple[str, ...]) -> None:
    if promise.price_minor is None or held.value_minor + amount_minor <= promise.price_minor:
        return
    left = in_words(max(0, promise.price_minor - held.value_minor))
    raise NotEnough(f"That is more than is still to pay: {left}.", about=about)


def _refuse_above_credit(person: Person, amount_minor: int) -> None:
    if amount_minor > (credit := credit_of(person)):
        raise NotEnough(f"{person} has less in credit than that: {in_words(credit)}.", about=CREDITS)


def _refuse_if_ended(promise: Promise, held: Held) -> None:
    """Asked with the person's row locked, as every ending holds it: what came late has nowhere to go."""
    if not held.is_open:
        raise Refused(f"This {promise.get_kind_display().lower()} has ended; nothing more is paid toward it.")


def _give_back(
    person, promise, amount_minor, method, reference, by, on, *, pays_out: CreditEntry | None = None
) -> Payment:
    return enter_payment(
        person=person,
        promise=promise,
        amount_minor=-amount_minor,
        method=method,
        reference=reference,
        refunds=promise.payments.toward_price().filter(amount_minor__gt=0).first(),
        pays_out=pays_out,
        by=by,
        on=on,
    )


def still_to_pay(promise: Promise) -> int:
    return (promise.price_minor or 0) - value_in(promise)


def _give_back_kept(promise, amount_minor, by, on) -> None:
    """Money kept at an end goes back after all: a line of its own, so that the lines stay what is held."""
    Deduction.objects.create(
        promise=promise,
        kind=DeductionKind.GIVEN_BACK,
        words="Given back after the end",
        amount_minor=-amount_minor,
        entered_on=on,
        recorded_by=by,
    )


def enter_credit(person, promise, kind, amount_minor, note, by, on, runs_out_on=None) -> CreditEntry | None:
    """Must run inside a transaction that holds the person's row."""
    if not amount_minor:
        return None
    entry = CreditEntry.objects.create(
        person=person,
        promise=promise,
        kind=kind,
        amount_minor=amount_minor,
        note=note,
        entered_on=on,
        runs_out_on=runs_out_on,
        recorded_by=by,
    )
    note_settled(promise)
    return entry
