"""Small helpers that make one row each; a test states only what matters to it."""

from datetime import date, timedelta
from decimal import Decimal

from django.contrib.auth.models import Group, User
from django.db import transaction

from instruments.actions.condition_reports import begin_report, write_line
from instruments.actions.documents import add_document
from instruments.actions.evidence import add_evidence
from instruments.actions.leads import keep_lead_size, measure_lever
from instruments.actions.measures import keep_pin_line, record_pins, record_pitch, record_wires
from instruments.actions.numbers import next_number
from instruments.actions.photos import add_photos, describe_photo
from instruments.actions.serial_marks import add_serial_mark
from instruments.actions.statements import add_statement
from instruments.actions.tell_tales import load_tell_tales
from instruments.actions.weighing import record_weighing
from instruments.models import (
    ConditionReport,
    Document,
    Evidence,
    Finding,
    Instrument,
    LeadSize,
    LeverMeasure,
    Photo,
    PinLine,
    PinSurvey,
    PitchSurvey,
    SerialMark,
    Statement,
    TellTale,
    Weighing,
    WireSurvey,
)
from instruments.scans import prepare_scan, stored_scan
from shop.actions.leads import add_lead_photos, take_lead
from shop.actions.listing import publish_listing
from shop.actions.periods import close_period
from shop.actions.sale_or_return import take_on_sale_or_return
from shop.actions.seller_payments import settle
from shop.actions.trial_steps import record_delivery
from shop.actions.trials import draft_trial, start_trial
from shop.actions.wanted import keep_wanted
from shop.calc.credit_terms import CreditRule
from shop.models import (
    AskingPrice,
    Lead,
    LeadPhoto,
    Listing,
    Person,
    Purchase,
    SaleOrReturn,
    TakenIn,
    Trial,
    Wanted,
)
from shop.seller_money import Settling
from tests.pictures import prepared
from tests.scans import pdf_upload
from workorders.actions.outside import ask_outside, keep_outworker, send_out
from workorders.actions.stores import keep_consumable
from workorders.models import (
    Consumable,
    ItemKeyMark,
    OutsideJob,
    Outworker,
    Task,
    TaskSet,
    TaskSuggestion,
    WorkItem,
    WorkOrder,
)

A_DAY = date(2026, 3, 21)


def make_user(username: str, full_name: str = "", *groups: Group) -> User:
    first, _, last = full_name.partition(" ")
    user = User.objects.create_user(username, password="quiet-felt-52", first_name=first, last_name=last)
    user.groups.set(groups)
    return user


def somebody() -> User:
    return User.objects.first() or make_user("ada", "Ada Prowse")


@transaction.atomic
def make_instrument(*, by=None, stock_number: str = "", **fields) -> Instrument:
    fields = {
        "kind": "upright",
        "maker": "Halden & Rook",
        "key_count": 85,
        "natural_covering": "celluloid",
        "sharp_covering": "stained",
    } | fields
    number = stock_number or next_number("stock", on=A_DAY)
    return Instrument.objects.create(stock_number=number, logged_by=by or somebody(), **fields)


def make_person(*, name: str = "Wilf Arden", **fields) -> Person:
    return Person.objects.create(name=name, **fields)


def make_purchase(*, instrument, price_minor: int = 20_000, by=None, **fields) -> Purchase:
    by = by or somebody()
    purchase = Purchase.objects.create(
        instrument=instrument, price_minor=price_minor, recorded_by=by, **fields
    )
    settle(purchase, Settling(), by=by, on=A_DAY)
    return purchase


def make_period(*, by=None, starts_on: date = date(2025, 1, 1), ends_on: date = date(2025, 3, 31)):
    """A closed period of the books, long before anything else happens."""
    return close_period(starts_on=starts_on, ends_on=ends_on, by=by or somebody(), on=A_DAY)


def make_price(*, instrument, amount_minor: int = 180_000, by=None, on: date = A_DAY) -> AskingPrice:
    return AskingPrice.objects.create(
        instrument=instrument, amount_minor=amount_minor, set_on=on, set_by=by or somebody()
    )


def make_task(*, code: str = "lubricate-action", **fields) -> Task:
    fields = {
        "name": "Lubricate the action",
        "rank": 13,
        "usual_minutes": 90,
        "done_when": "notes return",
    } | fields
    return Task.objects.create(code=code, **fields)


def make_task_set(*, tasks, code: str = "refresh", name: str = "Refresh") -> TaskSet:
    task_set = TaskSet.objects.create(code=code, name=name)
    task_set.tasks.set(tasks)
    return task_set


def make_suggestion(*, task: Task | None, **place) -> TaskSuggestion:
    place = place or {"part": "case", "condition": "attend"}
    return TaskSuggestion.objects.create(task=task, **place)


def make_lead(*, by=None, on: date = A_DAY, **card) -> Lead:
    card = {"caller": "" if card.get("person") else "Edda Marl", "maker": "Halden & Rook"} | card
    return take_lead(by=by or somebody(), on=on, **card)


def make_lead_photo(*, lead: Lead, by=None, **picture) -> LeadPhoto:
    add_lead_photos(lead=lead, prepared=[prepared(**picture)], by=by or somebody())
    return lead.photos.last()


def make_sale_or_return(*, owner: Person | None = None, by=None, on: date = A_DAY, **terms) -> SaleOrReturn:
    """An upright of 85 keys: seven tenths to its owner, for 1,000 or more, for half a year."""
    terms = {
        "share_percent": 70,
        "least_minor": 100_000,
        "begins_on": on,
        "until": on + timedelta(days=183),
    } | terms
    identity = {"kind": "upright", "maker": "Wexcombe", "key_count": 85}
    identity |= {"natural_covering": "celluloid", "sharp_covering": "stained"}
    return take_on_sale_or_return(
        identity=identity, owner=owner or make_person(name="Otto Owner"), by=by or somebody(), on=on, **terms
    )


def make_wanted(*, by=None, **wish) -> Wanted:
    wish = {"maker": "Halden", "asked_on": A_DAY, "asked_by": by or somebody()} | wish
    return keep_wanted(wanted=Wanted(**wish), by=by or somebody())


@transaction.atomic
def make_order(*, instrument=None, by=None, **fields) -> WorkOrder:
    fields = {"title": "Prepare for sale", "opened_on": A_DAY} | fields
    number = next_number("order", on=A_DAY, prefix="W")
    return WorkOrder.objects.create(
        number=number, instrument=instrument or make_instrument(), opened_by=by or somebody(), **fields
    )


def make_item(*, order=None, needs=(), marks=(), **fields) -> WorkItem:
    fields = {"name": "Lubricate the action", "rank": 13} | fields
    item = WorkItem.objects.create(order=order or make_order(), **fields)
    item.needs.set(needs)
    ItemKeyMark.objects.bulk_create(ItemKeyMark(item=item, mark=mark) for mark in marks)
    return item


def make_consumable(*, name: str = "Centre pins 20", by=None, **fields) -> Consumable:
    fields = {"kind": "centre_pins", "size": "20", "low_mark": Decimal(50)} | fields
    return keep_consumable(consumable=Consumable(name=name, **fields), by=by or somebody())


def make_outworker(*, name: str = "Hazel Finch", by=None, **fields) -> Outworker:
    fields = {"trade": "Polisher"} | fields
    return keep_outworker(outworker=Outworker(name=name, **fields), by=by or somebody())


def make_outside_job(
    *, order=None, items=(), outworker=None, by=None, on: date = A_DAY, **fields
) -> OutsideJob:
    """Asked for a price; nothing has gone yet."""
    fields = {"kind": "polishing", "work": "Strip and polish the fall"} | fields
    order = order or (items[0].order if items else make_order())
    return ask_outside(
        order=order,
        items=items,
        outworker=outworker or Outworker.objects.first() or make_outworker(),
        by=by or somebody(),
        on=on,
        **fields,
    )


def make_job_away(*, on: date = A_DAY, days: int = 14, by=None, goes="parts", **fields) -> OutsideJob:
    """With the outworker, promised back after so many days."""
    job = make_outside_job(on=on, by=by, **fields)
    return send_out(
        job=job,
        goes=goes,
        what_goes="The fall",
        promised_on=on + timedelta(days=days),
        condition="",
        by=by or somebody(),
        on=on,
    )


def make_trial(*, instrument=None, person=None, by=None, on: date = A_DAY, **terms) -> Trial:
    """A drafted trial of six weeks at £1,800, paid whole."""
    terms = {
        "price_minor": 180_000,
        "pay_now_minor": 180_000,
        "starts_on": on,
        "ends_on": on + timedelta(days=42),
        "address": "4 Salt Lane, Penhallow",
    } | terms
    if share := terms.pop("credit_percent", None):
        terms["credit"] = CreditRule(scale=((0, share),))
    return draft_trial(
        instrument=instrument or make_instrument(),
        person=person or make_person(),
        by=by or somebody(),
        on=on,
        **terms,
    )


def make_running_trial(*, on: date = A_DAY, **terms) -> Trial:
    return start_trial(trial=make_trial(on=on, **terms), method="transfer", by=somebody(), on=on)


def make_delivered_trial(*, on: date = A_DAY, **terms) -> Trial:
    trial = make_running_trial(on=on, **terms)
    record_delivery(trial=trial, delivered_on=on, received_by=trial.person.name, by=somebody(), on=on)
    return trial


@transaction.atomic
def make_taken_in(*, instrument=None, person=None, by=None, on: date = A_DAY, **fields) -> TakenIn:
    """A customer's own instrument, here for work."""
    fields = {"until": on + timedelta(days=60), "condition": "Worn, complete."} | fields
    number = next_number("customers", on=on, prefix="C")
    return TakenIn.objects.create(
        number=next_number("taken_in", on=on, prefix="R"),
        instrument=instrument or make_instrument(stock_number=number),
        person=person or make_person(),
        taken_in_on=on,
        taken_in_by=by or somebody(),
        **fields,
    )


def make_photo(*, instrument=None, by=None, is_public: bool = True, colour: str = "sienna") -> Photo:
    """A photo whose files are really there, small and genuine."""
    by = by or somebody()
    added = add_photos(instrument=instrument or make_instrument(), prepared=[prepared(colour=colour)], by=by)
    return describe_photo(photo=added.new[0], by=by, is_public=is_public)


def make_statement(*, instrument=None, by=None, **said) -> Statement:
    said = {
        "topic": "owned",
        "text": "One family from new",
        "grade": "told",
        "told_by": "Canary Seller",
    } | said
    return add_statement(instrument=instrument or make_instrument(), by=by or somebody(), **said)


def make_evidence(*, statement, by=None, **piece) -> Evidence:
    piece = {"side": "for", "strength": "weak", "note": "a receipt without a name"} | piece
    return add_evidence(statement=statement, by=by or somebody(), **piece)


def make_document(*, instrument, by=None, **fields) -> Document:
    """A PDF on file, its bytes really there."""
    fields = {"title": "An invoice"} | fields
    with stored_scan(prepare_scan(pdf_upload())) as stored:
        document = add_document(instrument=instrument, by=by or somebody(), **stored.fields, **fields)
        stored.keep()
    return document


def make_tell_tale(*, question: str = "strings") -> TellTale:
    load_tell_tales()
    return TellTale.objects.filter(question=question).first()


def make_serial_mark(*, by=None, **fields) -> SerialMark:
    fields = {
        "maker": "Halden & Rook",
        "serial": 31_000,
        "year": 1908,
        "exactness": "exact",
        "source": "an invoice on file",
    } | fields
    return add_serial_mark(by=by or somebody(), **fields)


def make_weighing(
    *, instrument, by=None, down_g: int = 50, up_g: int = 26, stage: str = "after_work"
) -> Weighing:
    last = instrument.first_key + instrument.key_count
    return record_weighing(
        instrument=instrument,
        readings=[(key, down_g, up_g) for key in range(instrument.first_key, last)],
        by=by or somebody(),
        on=A_DAY,
        stage=stage,
    )


def make_pin_survey(*, instrument, by=None, readings=None, unit="N·m", on=A_DAY, **more) -> PinSurvey:
    readings = [
        (key, string, Decimal(torque)) for key, string, torque in readings or [(40, 1, "9"), (40, 2, "3")]
    ]
    return record_pins(
        instrument=instrument, readings=readings, unit=unit, by=by or somebody(), on=on, **more
    )


def make_pin_line(*, by=None, torque="5", unit="N·m", meaning="One dealer guarantees above it") -> PinLine:
    line = PinLine(torque=Decimal(torque), unit=unit, meaning=meaning)
    return keep_pin_line(line=line, by=by or somebody())


def make_pitch_survey(*, instrument, by=None, readings=None, unit="cents", on=A_DAY, **more) -> PitchSurvey:
    readings = [(key, Decimal(str(value))) for key, value in readings or [(25, -30), (49, -46), (73, -60)]]
    return record_pitch(
        instrument=instrument, readings=readings, unit=unit, by=by or somebody(), on=on, **more
    )


def make_wire_survey(*, instrument, by=None) -> WireSurvey:
    readings = [(49, Decimal(400), Decimal(1), 3, "")]
    return record_wires(instrument=instrument, readings=readings, by=by or somebody(), on=A_DAY)


def make_lead_size(*, by=None, name: str = "Half-inch", mass_g="14", diameter_mm="12.7") -> LeadSize:
    size = LeadSize(name=name, mass_g=Decimal(mass_g), diameter_mm=Decimal(diameter_mm))
    return keep_lead_size(size=size, by=by or somebody())


def make_lever(*, instrument, by=None, **measures) -> LeverMeasure:
    measures = {
        "natural_front_mm": Decimal(220),
        "sharp_front_mm": Decimal(200),
        "nearest_mm": Decimal(30),
        "farthest_mm": Decimal(180),
    } | measures
    return measure_lever(instrument=instrument, by=by or somebody(), on=A_DAY, **measures)


def put_in_window(listing: Listing, *, by=None) -> Listing:
    publish_listing(listing=listing, by=by or somebody())
    return listing


def make_report(
    *, instrument=None, by=None, occasion: str = "as_bought", on: date = A_DAY, **head
) -> ConditionReport:
    return begin_report(
        instrument=instrument or make_instrument(),
        occasion=occasion,
        looked_on=on,
        by=by or somebody(),
        **head,
    )


def make_line(*, report, part: str = "case", condition: str = "sound", by=None, on=A_DAY, **found) -> Finding:
    return write_line(report=report, part=part, condition=condition, by=by or somebody(), on=on, **found)
