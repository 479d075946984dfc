"""The papers of a sale's course: the right to cancel with its form, and the note that goes with the mover."""

from datetime import date

from django.db import transaction

from instruments.documents.content import ConditionLine, Fact
from instruments.kept_files import StoredFile
from instruments.models import ConditionReport, Instrument
from instruments.problems import Refused
from instruments.states import Condition, Occasion
from instruments.walks import in_order_of_the_walk
from shop.actions.papers import person_party, shop_party, stored_paper
from shop.actions.sale_course import BEFORE_HAND_OVER
from shop.cancelling_words import cancelling_of
from shop.documents.cancelling import build_cancelling
from shop.documents.delivery_note import DeliveryNote, build_delivery_note
from shop.models import Paper, Sale, SaleDelivery, ShopProfile
from shop.sale_days import delivery_of
from shop.showing import public_facts
from shop.states import PaperKind

FACTS = {"Serial", "Made", "Compass", "Height", "Length", "Width", "Depth", "Weight", "Case"}


def issue_cancelling(*, sale: Sale, by) -> Paper:
    """What the buyer is told of the right to cancel, printed once. Never inside a transaction."""
    if kept := kept_cancelling(sale):
        return kept
    words = cancelling_of(sale)
    if words is None:
        raise Refused("This sale carries no right to cancel that is known here.")
    facts = {"agreed_on": sale.sold_on.isoformat(), "goods": words.goods}
    with stored_paper(f"right-to-cancel-{sale.number}", build_cancelling(words)) as stored:
        return _keep(sale, PaperKind.CANCELLING, sale.number, facts, stored, by)


def kept_cancelling(sale: Sale) -> Paper | None:
    return Paper.objects.filter(sale=sale, kind=PaperKind.CANCELLING).first()


def issue_delivery_note(*, sale: Sale, by, on: date) -> Paper:
    """The note for what is planned or done now; planned anew, there is a new one. Never in a transaction."""
    delivery = delivery_of(sale)
    if delivery is None:
        raise Refused("Nothing is written down of its delivery yet.")
    if kept := kept_delivery_note(sale):
        return kept
    note = delivery_note_of(sale, delivery, on=on)
    facts = {"delivery": delivery.pk, "address": note.address, "mover": note.mover}
    with stored_paper(f"delivery-note-{note.number}", build_delivery_note(note)) as stored:
        return _keep(sale, PaperKind.DELIVERY_NOTE, note.number, facts, stored, by)


def delivery_note_of(sale: Sale, delivery: SaleDelivery, *, on: date) -> DeliveryNote:
    position = sale.deliveries.filter(pk__lte=delivery.pk).count()
    report = delivery.report or _report_as_sold(sale)
    handed = delivery.hand_over
    return DeliveryNote(
        number=f"{sale.number}-D{position}",
        dated=on,
        reference=f"Sale {sale.number} of {sale.sold_on:%-d %B %Y}",
        shop=shop_party(ShopProfile.current()),
        customer=person_party(sale.person),
        instrument=f"{sale.instrument.maker_name}, stock {sale.instrument.stock_number}",
        facts=facts_for_the_mover(sale.instrument),
        address=delivery.address or sale.person.address,
        planned_on=delivery.planned_on,
        access=delivery.access,
        mover=delivery.mover,
        note=delivery.note,
        condition_words=str(report) if report else "",
        condition=condition_for_the_mover(report),
        handed_over_on=handed.handed_over_on if handed else None,
        received_by=delivery.received_by,
        set_up_on=delivery.set_up_on,
        climate=delivery.climate.air_words if delivery.climate else "",
    )


def facts_for_the_mover(instrument: Instrument) -> tuple[Fact, ...]:
    """Enough to tell it from another and to bring the right van."""
    shown = [Fact("Kind", instrument.get_kind_display())]
    shown += [
        Fact(fact.label, fact.value, fact.basis) for fact in public_facts(instrument) if fact.label in FACTS
    ]
    return tuple(shown)


def condition_for_the_mover(report: ConditionReport | None) -> tuple[ConditionLine, ...]:
    """Every part that was looked at, in the order of the walk; faults first settle who did what."""
    if report is None:
        return ()
    findings = in_order_of_the_walk(report.findings.current())
    return tuple(
        ConditionLine(finding.get_part_display(), finding.get_condition_display(), finding.note)
        for finding in findings
        if finding.condition != Condition.NOT_EXAMINED
    )


def _report_as_sold(sale: Sale) -> ConditionReport | None:
    """Written for this sale; an older one would not say how it leaves."""
    reports = sale.instrument.condition_reports.filter(occasion=Occasion.AS_SOLD)
    return reports.filter(looked_on__gte=sale.sold_on - BEFORE_HAND_OVER).first()


def kept_delivery_note(sale: Sale) -> Paper | None:
    """That of the newest plan; a plan that was changed has none yet."""
    delivery = delivery_of(sale)
    if delivery is None:
        return None
    return Paper.objects.filter(sale=sale, kind=PaperKind.DELIVERY_NOTE, facts__delivery=delivery.pk).first()


@transaction.atomic
def _keep(sale: Sale, kind: str, number: str, facts: dict, stored: StoredFile, by) -> Paper:
    Instrument.objects.select_for_update().get(pk=sale.instrument_id)
    if kept := Paper.objects.filter(sale=sale, kind=kind, number=number).first():
        return kept  # somebody else printed it in the meantime
    paper = Paper.objects.create(
        kind=kind,
        number=number,
        instrument=sale.instrument,
        sale=sale,
        facts=facts,
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper
