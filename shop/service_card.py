"""The service history of an instrument without a name: for its card, its page and its history."""

from datetime import date

from instruments.calc.wording import names_in
from instruments.models import Instrument
from shop.actions.papers import our_party, paper_facts
from shop.after_care import CareStanding, care_of, standing_sale_of
from shop.care_states import AT_OUR_COST
from shop.documents.guarantee import CardRow, ServiceCard
from shop.documents.instrument_history import Serviced
from shop.guarantee_words import CARD_FACTS
from shop.models import CallBack, VisitRecord
from shop.private_names import customers_of, private_names
from shop.visit_words import air_words, moisture_words, pitch_words, short_pitch_words

MOST_VISITS = 200


def visits_done_to(instrument: Instrument) -> list[VisitRecord]:
    """As they stand, the oldest first."""
    rows = VisitRecord.objects.standing().filter(visit__instrument=instrument, was_done=True)
    return list(rows.select_related("visit").order_by("visited_on", "id")[:MOST_VISITS])


def serviced(instrument: Instrument) -> tuple[Serviced, ...]:
    """Visits, and call-backs put right at our cost, for anybody: words that name somebody are left out."""
    names = [*private_names(instrument), *customers_of(instrument)]
    lines = [_visit(record, names) for record in visits_done_to(instrument)]
    closed = CallBack.objects.filter(instrument=instrument, closed_on__isnull=False)
    rows = closed.prefetch_related("judgements").order_by("closed_on", "id")[:MOST_VISITS]
    lines += [
        _call_back(each, names)
        for each in rows
        if each.judgements.all() and each.judgements.all()[0].verdict in AT_OUR_COST
    ]
    return tuple(line for _, line in sorted(lines, key=lambda pair: pair[0]))


def _visit(record: VisitRecord, names: list[str]) -> tuple[tuple, Serviced]:
    air = ", ".join(filter(None, [air_words(record), moisture_words(record)]))
    line = Serviced(
        day=f"{record.visited_on:%-d %B %Y}",
        what=record.visit.get_kind_display(),
        work=fit(record.work, names),
        pitch=pitch_words(record),
        air=air,
        keys=record.keys,
    )
    return (record.visited_on, 0, record.pk), line


def _call_back(call_back: CallBack, names: list[str]) -> tuple[tuple, Serviced]:
    verdict = call_back.judgements.all()[0].get_verdict_display().lower()
    line = Serviced(
        day=f"{call_back.closed_on:%-d %B %Y}",
        what=f"{call_back.part_name}, {verdict}",
        work=": ".join(filter(None, [call_back.get_outcome_display(), fit(call_back.found, names)])),
        pitch="",
        air="",
        keys="",
    )
    return (call_back.closed_on, 1, call_back.pk), line


def fit(words: str, names: list[str]) -> str:
    """Nothing where the words name a customer, a seller or who told of it."""
    words = " ".join(words.split())
    return "" if names_in(words, names) else words


def service_card_of(instrument: Instrument, *, on: date) -> ServiceCard:
    sale = standing_sale_of(instrument)
    care = care_of(sale, on=on) if sale else None
    terms = care.terms if care else None
    names = [*private_names(instrument), *customers_of(instrument)]
    advice = ()
    if terms:
        air = f"Air of the room: {terms.humidity_low} to {terms.humidity_high} % RH."
        pace = f"Tunings: {terms.first_year} in the first year, then {terms.later} a year."
        advice = (f"{air} {pace}",)
    return ServiceCard(
        shop=our_party(),
        instrument=f"{instrument.maker_name}, stock {instrument.stock_number}",
        facts=tuple(fact for fact in paper_facts(instrument) if fact.label in CARD_FACTS),
        printed_on=on,
        rows=tuple(_row(record, names, care) for record in visits_done_to(instrument)),
        advice=advice,
    )


def _row(record: VisitRecord, names: list[str], care: CareStanding | None) -> CardRow:
    due = record.next_due_on or (care.due_after(record) if care else None)
    return CardRow(
        day=f"{record.visited_on:%-d %b %Y}",
        work=fit(record.work, names) or record.visit.get_kind_display(),
        pitch=short_pitch_words(record),
        air=air_words(record),
        next_due=f"{due:%-d %b %Y}" if due else "",
    )
