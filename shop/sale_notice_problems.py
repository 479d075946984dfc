"""What stands against ending a sale in one way or another. Refused only where the law is plain."""

from datetime import date

from django.db.models import Sum

from instruments.problems import Blocker, Caution, Problem
from shop.models import Payment, Sale, SaleNotice
from shop.sale_days import SaleDays, days_of_sale
from shop.states import (
    ENDINGS_BY_RIGHT,
    ContractPlace,
    PaymentMethod,
    PaymentPurpose,
    SaleEndingKind,
)
from workorders.currency import in_words

KEPT = "#id_deduction_minor"
INSTEAD = "It may still be taken back by agreement, as goodwill."


def notice_of(sale: Sale) -> SaleNotice | None:
    """The buyer’s word that stands: the newest, unless they keep it after all."""
    newest = sale.notices.first()
    return None if newest is None or newest.is_taken_back else newest


def ending_problems(sale: Sale, days: SaleDays, *, kind: str, told_on: date) -> list[Problem]:
    if told_on < sale.sold_on:
        words = f"It was sold on {sale.sold_on:%-d %B %Y}, after that day. Give that day or a later one."
        return [Blocker(words, "#id_told_on")]
    if kind == SaleEndingKind.CANCELLED:
        return _called_off(days)
    if kind not in ENDINGS_BY_RIGHT:
        return []
    if not days.is_worked_out:
        return [
            Caution("Whether they have that right is not worked out here. Check the law in force for it.")
        ]
    if kind == SaleEndingKind.RIGHT:
        return _cancelled(days, told_on)
    return _rejected(days, kind, told_on)


def carrying_out_problems(
    sale: Sale, *, kind: str, told_on: date, deduction_minor: int, given_by: str, other_means_agreed: bool
) -> list[Problem]:
    """All that stands against ending a sale this way, on the day on which it is done."""
    days = days_of_sale(sale)
    return [
        *ending_problems(sale, days, kind=kind, told_on=told_on),
        *deduction_problems(days, kind=kind, told_on=told_on, deduction_minor=deduction_minor),
        *means_problems(
            days, kind=kind, paid_by=paid_by(sale), given_by=given_by, is_agreed=other_means_agreed
        ),
    ]


def paid_by(sale: Sale) -> set[str]:
    """The ways in which money came toward it, and toward the trial that it was sold from."""
    promises = [sale.promise_id] + ([sale.from_trial.promise_id] if sale.from_trial else [])
    money = Payment.objects.toward_price().filter(promise__in=promises, amount_minor__gt=0)
    return set(money.exclude(method=PaymentMethod.PART_EXCHANGE).values_list("method", flat=True))


def carriage_of(sale: Sale) -> int:
    """What was paid for bringing it, apart from the price, and is the shop's still."""
    promises = [sale.promise_id] + ([sale.from_trial.promise_id] if sale.from_trial else [])
    rows = Payment.objects.filter(promise__in=promises, purpose=PaymentPurpose.DELIVERY)
    return rows.aggregate(sum=Sum("amount_minor"))["sum"] or 0


def carriage_back(kind: str, charged: int, typed: int | None) -> int:
    """What of it goes back: as typed; else all where they cancel as of right, and nothing otherwise."""
    if typed is not None:
        return typed
    return charged if kind == SaleEndingKind.RIGHT else 0


def carriage_problems(*, kind: str, charged: int, back: int, chose_dearer: bool) -> list[Problem]:
    """Ordinary delivery goes back whole (reg. 34(2)); a dearer way’s further cost need not (34(3))."""
    if back > charged:
        return [
            Blocker(f"No more than {in_words(charged)} was paid for delivery.", "#id_delivery_back_minor")
        ]
    if kind != SaleEndingKind.RIGHT or back == charged or chose_dearer:
        return []
    return [
        Blocker(
            f"{in_words(charged)} was paid for delivery. Who cancels as of right has the ordinary cost of it "
            "back; only what they chose beyond our ordinary way may stay (Consumer Contracts Regulations "
            "2013, reg. 34(2), (3)). Tick it if so.",
            "#id_chose_dearer",
        )
    ]


def carriage_cautions(sale: Sale, *, kind: str) -> list[Problem]:
    charged = carriage_of(sale)
    if kind != SaleEndingKind.RIGHT or charged <= 0:
        return []
    return [
        Caution(
            f"{in_words(charged)} was paid for delivery, apart from the price. Who cancels as of right gets "
            "the ordinary cost of delivery back too (Consumer Contracts Regulations 2013, reg. 34(2), (3)): "
            "it goes back with the rest."
        )
    ]


def deduction_problems(days: SaleDays, *, kind: str, told_on: date, deduction_minor: int) -> list[Problem]:
    """What the law lets a shop keep of the price, where it is plain."""
    if not deduction_minor or not days.is_worked_out:
        return []
    if kind == SaleEndingKind.RIGHT and days.informed_on is None:
        return [
            Blocker(
                "Nothing may be kept for handling: they never had the cancellation information "
                "(Consumer Contracts Regulations 2013, reg. 34(9) to (11)).",
                KEPT,
            )
        ]
    if kind == SaleEndingKind.RIGHT:
        return [
            Caution(
                "Keep only what handling beyond a look in a shop took off its value, and never more than "
                "the price (reg. 34(9) to (12))."
            )
        ]
    if kind == SaleEndingKind.REJECTED:
        return [Blocker("A short-term rejection is paid back whole (Consumer Rights Act 2015, s. 20).", KEPT)]
    until = days.no_deduction_until
    if kind == SaleEndingKind.FINAL and until and told_on <= until:
        return [
            Blocker(
                f"Nothing may be kept for use until {until:%-d %B %Y} (Consumer Rights Act 2015, s. 24(10)).",
                KEPT,
            )
        ]
    return []


def means_problems(
    days: SaleDays, *, kind: str, paid_by: set[str], given_by: str, is_agreed: bool
) -> list[Problem]:
    """It goes back the way it was paid, unless the buyer expressly agrees (reg. 34(7); s. 20(16))."""
    if kind not in ENDINGS_BY_RIGHT or not days.is_worked_out or is_agreed:
        return []
    if not paid_by or given_by in paid_by:
        return []
    ways = " or ".join(sorted(PaymentMethod(way).label.lower() for way in paid_by))
    return [
        Blocker(
            f"A consumer is paid back the way they paid, by {ways}, unless they expressly agree to another "
            "(Consumer Contracts Regulations 2013, reg. 34(7); Consumer Rights Act 2015, s. 20(16)). "
            "Tick it if so.",
            "#id_method",
        )
    ]


def _called_off(days: SaleDays) -> list[Problem]:
    if days.delivered_on:
        return [
            Blocker(
                f"It was handed over on {days.delivered_on:%-d %B %Y}. Say by which right it comes back, or "
                "take it back by agreement.",
                "#id_kind",
            )
        ]
    if days.may_cancel:
        return [
            Caution(
                "It was agreed away from our shop, so they may cancel it as of right: choose that, and "
                "what they are owed follows from it."
            )
        ]
    return []


def _cancelled(days: SaleDays, told_on: date) -> list[Problem]:
    if not days.agreed_where:
        return [Caution("Nobody wrote down where it was agreed. Write it down: the right depends on it.")]
    if days.agreed_where == ContractPlace.SHOP:
        return [
            Blocker(
                "Agreed in our shop, it carries no right to cancel (Consumer Contracts Regulations 2013, "
                f"regs 27, 29). {INSTEAD}",
                "#id_kind",
            )
        ]
    if days.cancel_until and told_on > days.cancel_until:
        return [
            Blocker(
                f"The last day to cancel was {days.cancel_until:%-d %B %Y} (Consumer Contracts Regulations "
                f"2013, reg. 30). {INSTEAD}",
                "#id_kind",
            )
        ]
    return []


def _rejected(days: SaleDays, kind: str, told_on: date) -> list[Problem]:
    if days.delivered_on is None:
        return [Caution("It is not noted as handed over, so the days to reject it have not begun.")]
    if kind == SaleEndingKind.FINAL:
        if days.has_failed_repair:
            return []
        return [
            Caution(
                "The final right opens when a repair or replacement failed, cannot be done or takes too long "
                "(Consumer Rights Act 2015, s. 24(5)); no failed repair is noted."
            )
        ]
    if days.reject_until and told_on > days.reject_until:
        return [
            Blocker(
                f"The last day for the short-term right was {days.reject_until:%-d %B %Y} (Consumer Rights "
                "Act 2015, s. 22(3)). A repair, a lower price or the final right may be open. " + INSTEAD,
                "#id_kind",
            )
        ]
    return []
