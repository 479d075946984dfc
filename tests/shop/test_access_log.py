from concurrent.futures import ThreadPoolExecutor

import pytest
from django.apps import apps
from django.db import connection
from django.test import Client
from django.urls import reverse

from instruments.models import AppendOnly
from shop.actions.log import STRANGERS_MOST, seal_log, write_log
from shop.db.append_only import remove_guards
from shop.log_check import log_faults, logged_models
from shop.models import LogHead, LogLine, LogSeal, Payment
from tests import make
from tests.make_sale import make_sale

# Rows with a sum that are no money moved: what was agreed, calculated, counted or asked for.
NO_MONEY_MOVED = {
    *("Commission", "CostEstimate", "Extra", "HandedOver", "HoldTerms", "OfferCalculation", "PlanStage"),
    *("Promise", "Quote", "Receipt", "SaleAgreed", "SaleOrReturn", "ShopProfile", "Trial", "CareVisit"),
    *("Lead", "MoverBooking", "SaleNotice", "CreditTerms", "HoldEnding", "TrialExtension", "Wanted"),
}


def test_every_row_of_money_stands_in_the_log():
    with_sums = {
        model.__name__
        for model in apps.get_app_config("shop").get_models()
        if issubclass(model, AppendOnly) and any(f.name.endswith("amount_minor") for f in model._meta.fields)
    }
    assert with_sums - {model.__name__ for model in logged_models()} <= NO_MONEY_MOVED
    assert {"Payment", "CreditEntry", "Purchase", "Sale", "SaleEnding"} <= {
        model.__name__ for model in logged_models()
    }


def test_a_payment_says_who_when_and_how_much(owner):
    sale = make_sale(instrument=make.make_instrument(by=owner), paid=40_000, by=owner, on=make.A_DAY)
    payment = sale.promise.payments.get()
    line = LogLine.objects.get(subject="shop.payment", row=payment.pk)
    assert (line.kind, line.who, line.what) == ("money", owner, f"payment {payment.pk}: £400.00")
    assert LogLine.objects.get(subject="shop.sale", row=sale.pk).kind == "owner"


def test_what_is_refused_is_written_down(client, technician):
    client.force_login(technician)
    assert client.get(reverse("shop:books")).status_code == 403
    line = LogLine.objects.get(kind="denied")
    assert (line.who, line.what, line.address) == (technician, "GET shop:books", "127.0.0.1")


def test_a_flood_of_strangers_is_not(db):
    client = Client(enforce_csrf_checks=True)
    for _ in range(STRANGERS_MOST + 5):
        assert client.post(reverse("login"), {}).status_code == 403
    lines = LogLine.objects.filter(kind="denied").order_by("id")
    assert lines.count() == STRANGERS_MOST + 1 and "not written down" in lines.last().what


@pytest.fixture
def log(owner):
    for number in range(6):
        write_log(kind="in", who=owner, what=f"Signed in {number}")
    make_sale(instrument=make.make_instrument(by=owner), paid=40_000, by=owner, on=make.A_DAY)
    seal_log()
    assert list(log_faults()) == []
    remove_guards(using="default")
    return LogSeal.objects.order_by("position")


def tamper(sql: str, *params) -> list[str]:
    with connection.cursor() as cursor:
        cursor.execute(sql, params)
    return list(log_faults())


def test_a_line_taken_out_is_noticed(log):
    gone = log[2]
    tamper("DELETE FROM shop_logseal WHERE position = %s", gone.position)
    assert tamper("DELETE FROM shop_logline WHERE id = %s", gone.line_id)[0] == (
        f"log: a line is missing before place {gone.position + 1}."
    )


def test_a_line_changed_is_noticed(log):
    line = log[1].line_id
    assert tamper("UPDATE shop_logline SET what = 'nothing' WHERE id = %s", line) == [
        f"log: line {line} does not follow from the one before it, or was changed."
    ]


def test_the_end_cut_off_is_noticed(log):
    last = log.last()
    write_log(kind="out", what="Signed out")
    new = log.last()
    tamper("DELETE FROM shop_logseal WHERE id = %s", new.pk)
    faults = tamper("DELETE FROM shop_logline WHERE id = %s", new.line_id)
    assert faults == [f"log: {last.position + 1} lines were sealed, the chain ends after {last.position}."]


def test_a_row_of_money_gone_or_slipped_in_is_noticed(log, owner):
    payment = Payment.objects.get()
    faults = tamper("UPDATE shop_logline SET row = %s WHERE subject = 'shop.payment'", payment.pk + 50)
    assert f"shop.payment {payment.pk}: the log does not tell of it." in faults
    assert f"shop.payment {payment.pk + 50}: the log tells of it, and it is gone." in faults


def test_seals_follow_one_another_and_head_and_count_agree(log):
    assert [seal.position for seal in log] == list(range(1, LogLine.objects.count() + 1))
    assert LogHead.objects.get().sha256 == log.last().sha256


@pytest.mark.django_db(transaction=True)
def test_many_at_once_are_sealed_in_one_chain():
    def write(number):
        write_log(kind="failed", what=f"Wrong {number}")
        connection.close()

    with ThreadPoolExecutor(6) as pool:
        list(pool.map(write, range(30)))
    assert list(log_faults()) == [] and LogHead.objects.get().count == 30


def test_the_owner_reads_it_and_looks_through_it(client, owner, technician, log):
    client.force_login(owner)
    page = client.get(reverse("shop:access_log"), {"kind": "in", "who": owner.pk}).content.decode()
    assert "Signed in 5" in page and "payment" not in page.split("<tbody>")[1]
    assert "The log is whole" in client.post(reverse("shop:access_log_check")).content.decode()
    tamper("UPDATE shop_logline SET what = 'nothing' WHERE id = %s", log[1].line_id)
    assert "changed from outside" in client.post(reverse("shop:access_log_check")).content.decode()
