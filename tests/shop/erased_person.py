"""Somebody with words of theirs in every corner of the shop, put there by the usual actions; all over."""

from datetime import timedelta

from django.apps import apps
from django.core.files.storage import default_storage
from django.db import connection, models

from shop.actions.commissions import withdraw_commission
from shop.actions.holds import issue_hold_paper
from shop.actions.joining import join_cards
from shop.actions.leads import decide_lead
from shop.actions.ledger import take_fee
from shop.actions.people import correct_person
from shop.actions.promises import place_hold, release_hold
from shop.actions.receipts import issue_receipt
from shop.actions.sale_course import ask_repair
from shop.actions.trials import return_trial
from shop.actions.waiting_list import join_waiting_list
from shop.models import Receipt, ReminderAttempt
from tests import make
from tests.make_commission import make_approval, make_commission, make_quote
from tests.make_sale import make_delivered_sale, make_sale

ON = make.A_DAY
NAME, TELEPHONE, MAIL = "Zebedee Quillfeather", "01632 960777", "zebedee@quillfeather.example"
STREET, NOTE = "Canarywharf Steps", "Plays only in canarygloves"
WORDS = ("quillfeather", "zebedee", "960777", "canary")
OURS = ("instruments", "workorders", "shop")


def make_somebody_known(by):
    """Sold us one that was sold on, held, tried and bought, offered, wished, waited; on two cards."""
    person = make.make_person(name=NAME, telephone=TELEPHONE, email=MAIL, address=STREET)
    correct_person(person=person, by=by, name=NAME, note=NOTE)
    _bought(person, by)
    _held_and_tried(person, by)
    _wished_and_offered(person, by)
    theirs = make.make_instrument(by=by)
    make.make_purchase(instrument=theirs, seller=person, note="Canary of the seller", bought_on=ON, by=by)
    make.make_statement(instrument=theirs, told_by=NAME, grade="told", by=by)
    make_sale(instrument=theirs, person=make.make_person(name="Otto Nextley"), by=by, on=ON)
    double = make.make_person(name=f"{NAME} jun.", telephone=TELEPHONE)
    make.make_wanted(person=double, note="Canary yellow", by=by)
    join_cards(double=double, into=person, facts={}, reason="Canary said so", by=by, on=ON)
    for receipt in Receipt.objects.filter(payment__person__in=person.rows()):
        issue_receipt(receipt=receipt, by=by)
    return person


def _bought(person, by):
    instrument = make.make_instrument(by=by)
    make.make_purchase(instrument=instrument, by=by)
    sale = make_delivered_sale(instrument=instrument, person=person, paid=90_000, by=by, on=ON)
    take_fee(promise=sale.promise, purpose="delivery", amount_minor=5_000, method="card", by=by, on=ON)
    ask_repair(sale=sale, asked_on=ON, what="Canary key sticks", by=by)


def _held_and_tried(person, by):
    hold = place_hold(
        instrument=make.make_instrument(by=by),
        person=person,
        until=ON + timedelta(days=7),
        deposit_minor=3_000,
        method="card",
        note="Canary hold",
        by=by,
        on=ON,
    )
    issue_hold_paper(terms=hold.hold_terms, by=by)
    ReminderAttempt.objects.create(promise=hold, ends_on=hold.until, mark=0, recipient=MAIL, number=1)
    release_hold(promise=hold, give_back="refund", method="card", by=by, on=ON)
    trial = make.make_delivered_trial(person=person, address=STREET, special_terms="Canary seed", by=by)
    return_trial(trial=trial, give_back="refund", method="card", note="Canary sang", by=by, on=ON)
    taken_in = make.make_taken_in(person=person, handed_back_to=NAME, by=by)
    commission = make_commission(taken_in=taken_in, by=by)
    quote = make_quote(commission=commission, by=by)
    make_approval(quote=quote, approved_by_name=NAME, with_file=True, by=by)
    withdraw_commission(commission=commission, reason="Canary changed its mind", by=by, on=ON)
    type(taken_in).objects.filter(pk=taken_in.pk).update(handed_back_on=ON, handed_back_by=by)


def _wished_and_offered(person, by):
    make.make_wanted(person=person, note="Canary yellow", by=by)
    held = make.make_instrument(by=by)
    other = make.make_person(name="Ida Waites")
    place_hold(instrument=held, person=other, until=ON + timedelta(days=3), by=by, on=ON)
    join_waiting_list(instrument=held, person=person, note="Canary waits", by=by, on=ON)
    for card in ({"person": person}, {"caller": NAME, "telephone": TELEPHONE}):
        lead = make.make_lead(story="My canary lives in it", place=STREET, by=by, **card)
        make.make_lead_photo(lead=lead, by=by)
        decide_lead(lead=lead, state="declined", reason="Canary smells", by=by, on=ON)


def columns_of(model, *kinds):
    return [each for each in model._meta.concrete_fields if isinstance(each, kinds)]


def tables_with(words=WORDS) -> dict[str, list[str]]:
    """Every table of the database that says one of the words in any text column, and in which columns."""
    found: dict[str, set[str]] = {}
    for model in apps.get_models(include_auto_created=True):
        for column in columns_of(model, models.CharField, models.TextField, models.JSONField):
            with connection.cursor() as cursor:
                quote = connection.ops.quote_name
                table = model._meta.db_table
                cursor.execute(f"SELECT CAST({quote(column.column)} AS TEXT) FROM {quote(table)}")
                said = "\n".join(value for (value,) in cursor.fetchall() if value).casefold()
            if any(word in said for word in words):
                found.setdefault(table, set()).add(column.name)
    return {table: sorted(names) for table, names in found.items()}


def files_kept(folder: str = "") -> set[str]:
    folders, files = default_storage.listdir(folder)
    here = {f"{folder}/{name}".strip("/") for name in files}
    return here.union(*(files_kept(f"{folder}/{name}".strip("/")) for name in folders))


def figures() -> dict[str, list]:
    """Every number, day, choice and pointer of every row that the books and promises are made of."""
    emptied = {"Person", "Wanted", "WaitingPlace", "LeadPhoto", "PhotoLink", "Erasure", "Removal"}
    words = (models.CharField, models.TextField, models.JSONField)
    return {
        model._meta.label: list(
            model._default_manager.order_by("pk").values_list(
                *(
                    each.attname
                    for each in model._meta.concrete_fields
                    if not isinstance(each, words) or each.choices
                )
            )
        )
        for model in apps.get_models()
        if model._meta.app_label in OURS
        and not model.__name__.startswith("Historical")
        and model.__name__ not in emptied
    }
