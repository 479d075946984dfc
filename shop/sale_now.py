"""The one thing that a sale asks for next: the words of its button, where it leads, and why."""

from dataclasses import dataclass

from django.urls import reverse

from shop.models import Receipt, Sale
from shop.payment_plans import PlanStanding
from shop.sale_course import SaleCourse
from workorders.currency import in_words

ENDED = "The sale has ended."


@dataclass(frozen=True)
class SaleNext:
    words: str
    url: str
    why: str
    prints: bool = False  # a paper, which a press prints and keeps


@dataclass(frozen=True)
class SaleStands:
    """What the next step follows from."""

    sale: Sale
    course: SaleCourse
    plan: PlanStanding | None
    to_pay_minor: int
    held_minor: int
    has_invoice: bool
    has_care: bool
    refunded: Receipt | None = None  # the newest of what was given back

    @property
    def due_minor(self) -> int:
        """By the stages where there are some; else all that is still to pay."""
        return self.plan.due_minor if self.plan else self.to_pay_minor


def sale_next(at: SaleStands) -> SaleNext | None:
    """None where a notice has its own buttons, and once nothing is left to do."""
    if at.course.ending:
        return _after_the_end(at)
    if at.course.notice:
        return None
    return _papers_first(at) or _money_and_delivery(at) or _at_leisure(at)


def _after_the_end(at: SaleStands) -> SaleNext | None:
    note, back = at.course.ending.credit_note, at.refunded
    if at.held_minor > at.course.ending.deduction_minor:
        held = in_words(at.held_minor - at.course.ending.deduction_minor)
        url = reverse("shop:promise_give_back", args=[at.sale.promise_id])
        return SaleNext("Give money back", url, f"{held} of what they paid is still with us.")
    if at.has_invoice:
        return SaleNext(f"Credit note {note} (PDF)", _at("sale_credit_note", at), ENDED, prints=True)
    if back:
        return SaleNext(f"Refund note {back.number} (PDF)", back.get_absolute_url(), ENDED, prints=True)
    return None


def _papers_first(at: SaleStands) -> SaleNext | None:
    if not at.course.days.agreed_where:
        return SaleNext(
            "Write down how it was agreed", _at("sale_agreed", at), "Their rights follow from it."
        )
    if at.course.lacks_information:
        why = "They may cancel, and have not been told so. Print the sheet, hand it over, write the day down."
        return SaleNext("They were told of the right to cancel", _at("sale_agreed", at), why)
    return None


def _money_and_delivery(at: SaleStands) -> SaleNext | None:
    due, is_here = at.due_minor, at.course.days.delivered_on is None
    if is_here and not at.course.delivery:
        return SaleNext("Plan its delivery", _at("sale_delivery", at), "No day is agreed with them yet.")
    if due > 0:
        url = reverse("shop:payment_take", args=[at.sale.promise_id])
        why = f"{in_words(due)} of it is due." if due < at.to_pay_minor else ""
        return SaleNext("Take a payment", url, why)
    if is_here:
        why = f"Planned for {at.course.days.deliver_by:%-d %B %Y}." if at.course.days.deliver_by else ""
        return SaleNext("Write down the hand-over", _at("sale_hand_over", at), why)
    return None


def _at_leisure(at: SaleStands) -> SaleNext | None:
    if not at.has_invoice:
        return SaleNext("Make the invoice", _at("sale_invoice", at), "It is not printed yet.")
    if not at.has_care:
        return SaleNext("Agree guarantee and tunings", _at("sale_care", at), "Nothing is agreed yet.")
    return None


def _at(page: str, at: SaleStands) -> str:
    return reverse(f"shop:{page}", args=[at.sale.number])
