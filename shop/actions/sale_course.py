"""A sale between agreement and end: how it was agreed, brought to its buyer, and mended for them."""

from datetime import date, timedelta
from decimal import Decimal

from instruments.actions.measures import record_climate
from instruments.actions.moves import move_instrument
from instruments.actions.whole import whole
from instruments.models import ConditionReport
from instruments.problems import Refused
from instruments.states import Occasion, Place, Whose
from shop.actions.ledger import lock_person
from shop.actions.part_exchange import hand_over
from shop.models import Promise, RepairAsked, RepairBack, Sale, SaleAgreed, SaleDelivery
from shop.rejecting import delivered_on
from shop.states import ContractPlace

BEFORE_HAND_OVER = timedelta(days=31)


@whole
def write_agreed(
    *, sale: Sale, agreed_where: str, is_consumer: bool = True, informed_on: date | None = None, note="", by
) -> SaleAgreed:
    """How it was agreed. A later row corrects the one before, or says when the information was given."""
    return SaleAgreed.objects.create(
        sale=sale,
        agreed_where=ContractPlace(agreed_where),
        is_consumer=is_consumer,
        informed_on=informed_on,
        note=note,
        recorded_by=by,
    )


@whole
def plan_delivery(
    *, sale: Sale, planned_on: date, address: str, access: str = "", mover: str = "", note: str = "", by
) -> SaleDelivery:
    _refuse_if_ended(sale)
    if planned_on < sale.sold_on:
        words = f"It was sold on {sale.sold_on:%-d %B %Y}: give that day or a later one."
        raise Refused(words, about=("planned_on",))
    return SaleDelivery.objects.create(
        sale=sale,
        planned_on=planned_on,
        address=address,
        access=access,
        mover=mover,
        note=note,
        recorded_by=by,
    )


@whole
def deliver_sale(
    *,
    sale: Sale,
    handed_over_on: date,
    received_by: str = "",
    set_up_on: date | None = None,
    temperature_c: Decimal | None = None,
    humidity_percent: Decimal | None = None,
    by,
    **carried,
) -> SaleDelivery:
    """It is with its buyer: the day their rights count from, who took it, and where it is now.

    `carried` are address, access, mover and note; what is left out stays as it was planned.
    """
    _refuse_if_ended(sale)
    if set_up_on and set_up_on < handed_over_on:
        words = f"It cannot be set up before it was handed over, on {handed_over_on:%-d %B %Y}."
        raise Refused(words, about=("set_up_on",))
    before = sale.deliveries.first()
    planned = {} if before is None else {"planned_on": before.planned_on} | _plan_of(before)
    handed = hand_over(sale=sale, handed_over_on=handed_over_on, by=by)
    delivery = SaleDelivery.objects.create(
        sale=sale,
        hand_over=handed,
        received_by=received_by or sale.person.name,
        set_up_on=set_up_on,
        report=_report_at(sale, handed_over_on),
        climate=_climate(sale, temperature_c, humidity_percent, by=by, on=handed_over_on),
        recorded_by=by,
        **planned | {name: words for name, words in carried.items() if words},
    )
    sale.instrument.refresh_from_db(fields=["place"])
    if sale.instrument.place != Place.CUSTOMER:
        note = f"delivered, sale {sale.number}"
        move_instrument(instrument=sale.instrument, place=Place.CUSTOMER, note=note, by=by, on=handed_over_on)
    return delivery


@whole
def ask_repair(*, sale: Sale, asked_on: date, what: str, by) -> RepairAsked:
    """The buyer wants it put right. One at a time: the next begins when this one is back."""
    _refuse_if_ended(sale)
    had_on = delivered_on(sale)
    if had_on is None:
        raise Refused("Note when it was handed over first.", about=("asked_on",))
    if asked_on < had_on:
        words = f"They had it on {had_on:%-d %B %Y}: give that day or a later one."
        raise Refused(words, about=("asked_on",))
    if sale.repairs.filter(back__isnull=True).exists():
        raise Refused("A repair was asked for already and is not back yet.")
    return RepairAsked.objects.create(sale=sale, asked_on=asked_on, what=what, recorded_by=by)


@whole
def bring_back(*, asked: RepairAsked, back_on: date, put_right: bool, note: str = "", by) -> RepairBack:
    lock_person(asked.sale.person)
    if back_on < asked.asked_on:
        words = f"It cannot be back before the repair was asked for, on {asked.asked_on:%-d %B %Y}."
        raise Refused(words, about=("back_on",))
    if RepairBack.objects.filter(asked=asked).exists():
        raise Refused("It is noted as back already.")
    return RepairBack.objects.create(
        asked=asked, back_on=back_on, put_right=put_right, note=note, recorded_by=by
    )


def _refuse_if_ended(sale: Sale) -> None:
    lock_person(sale.person)  # as whoever ends it does
    if not Promise.objects.open().filter(pk=sale.promise_id).exists():
        raise Refused(f"{sale.number} has ended.")


def _plan_of(before: SaleDelivery) -> dict:
    return {name: getattr(before, name) for name in ("address", "access", "mover", "note")}


def _report_at(sale: Sale, on: date) -> ConditionReport | None:
    """The report it was handed over with: written as sold, not long before that day or on it."""
    reports = sale.instrument.condition_reports.filter(occasion=Occasion.AS_SOLD)
    return reports.filter(looked_on__range=(on - BEFORE_HAND_OVER, on)).first()


def _climate(sale: Sale, temperature_c, humidity_percent, *, by, on: date):
    if temperature_c is None or humidity_percent is None:
        return None
    return record_climate(
        room=f"At {sale.person}’s"[:80],
        whose=Whose.CUSTOMER,
        instrument=sale.instrument,
        temperature_c=temperature_c,
        humidity_percent=humidity_percent,
        by=by,
        on=on,
    )
