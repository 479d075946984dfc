"""The terms of a hold's deposit: kept as agreed, printed for the customer, and what ends by them."""

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils.timezone import localdate

from instruments.problems import Refused
from shop.actions.deductions import Agreed
from shop.actions.holds import give_back_later, issue_hold_paper
from shop.actions.ledger import NotEnough, credit_of, value_in
from shop.actions.profile import change_profile
from shop.actions.promises import place_hold, release_hold
from shop.actions.sales import sell
from shop.actions.trials import return_trial
from shop.actions.waiting_list import join_waiting_list
from shop.models import GivenBackLater, HoldEnding, HoldTerms, Paper, Payment, Promise, Receipt
from shop.statements import statement_of
from tests import make
from tests.reading import Reading, printed
from tests.shop.money_oracle import statement_equals_the_ledger

pytestmark = pytest.mark.django_db

ON = make.A_DAY
LATE = ON + timedelta(days=8)  # one day after the day of the full refund
KEPT = {"kept_minor": 2_000, "kept_reason": "A carrier was booked", "told_how": "Our letter of today"}


def held(deposit=10_000, *, days=14, **terms) -> Promise:
    instrument = make.make_instrument()
    make.make_price(instrument=instrument, amount_minor=180_000)
    return place_hold(
        instrument=instrument,
        person=make.make_person(name="Hester Blount"),
        until=ON + timedelta(days=days),
        deposit_minor=deposit,
        method="card",
        by=make.somebody(),
        on=ON,
        **terms,
    )


def in_days(days: int) -> str:
    return f"{localdate() + timedelta(days=days)}"


def let_go(hold, *, on=LATE, **how) -> Promise:
    return release_hold(promise=hold, by=make.somebody(), on=on, **how)


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


@pytest.fixture
def late(monkeypatch):
    for module in ("holds", "refunds", "answers"):
        monkeypatch.setattr(f"shop.views.{module}.today", lambda: LATE)


def send(desk, name, key, **form):
    return desk.post(reverse(f"shop:{name}", args=[key]), {"form_token": uuid4().hex} | form)


def test_the_terms_are_the_shops_on_the_day_and_stay_so():
    hold = held()
    change_profile(by=make.somebody(), hold_keep_percent=90, hold_full_days=1)
    terms = HoldTerms.objects.get(promise=hold)
    assert (terms.number, terms.deposit_minor, terms.asking_minor) == ("HD26-001", 10_000, 180_000)
    assert (terms.full_until, terms.keep_percent, terms.keep_most_minor) == (ON + timedelta(days=7), 25, None)
    assert terms.until == ON + timedelta(days=14)


def test_the_full_refund_never_runs_past_the_hold_itself():
    assert held(days=3).hold_terms.full_until == ON + timedelta(days=3)


def test_terms_of_this_hold_alone_are_kept_with_it(desk):
    instrument, person = make.make_instrument(), make.make_person()
    day = in_days(60)
    answer = send(
        desk, "hold_place", instrument.stock_number, person=person.pk, until=day, method="card",
        deposit_minor="100", full_until=day, keep_percent="10", keep_most_minor="5",
    )  # fmt: skip
    terms = HoldTerms.objects.get()
    assert answer.url == reverse("shop:hold_page", args=[terms.promise_id])
    assert (f"{terms.full_until}", terms.keep_percent, terms.keep_most_minor) == (day, 10, 500)


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"full_until": "2020-01-01"}, "full_until"),
        ({"keep_percent": "101"}, "keep_percent"),
        ({"keep_percent": "-1"}, "keep_percent"),
        ({"keep_most_minor": "ten"}, "keep_most_minor"),
        ({"deposit_minor": "-5"}, "deposit_minor"),
    ],
)
def test_wrong_terms_are_refused_beside_their_field_and_nothing_is_held(desk, wrong, field):
    instrument, person = make.make_instrument(), make.make_person()
    form = {"person": person.pk, "until": in_days(92), "method": "card"} | wrong
    answer = send(desk, "hold_place", instrument.stock_number, **form)
    assert answer.status_code == 200 and field in answer.context["form"].errors
    assert not Promise.objects.exists()


def test_the_paper_says_the_terms_and_is_kept_byte_for_byte(desk):
    hold = held(note="Until her sister has seen it.")
    address = reverse("shop:hold_paper", args=[hold.pk])
    first = printed(desk, address).content
    change_profile(by=make.somebody(), name="Another name")
    assert printed(desk, address).content == desk.get(address).content == first
    text = Reading(first).text
    for words in (
        "HD26-001", "Hester Blount", "A deposit of £100.00 holds it for you until 4 April 2026",
        "counts toward the price", "by 28 March 2026 you have the whole deposit back",
        "never more than £25.00", "take away no right", "Until her sister has seen it.",
    ):  # fmt: skip
        assert words in text
    assert Paper.objects.get(kind="hold").number == "HD26-001"


def test_the_receipt_of_the_deposit_says_its_terms(desk):
    payment = held().payments.get()
    text = Reading(printed(desk, payment.receipt.get_absolute_url()).content).text
    assert "What the deposit is" in text and "never more than £25.00" in text


def test_a_hold_of_before_has_no_paper_and_all_of_it_goes_back(desk):
    hold = held(deposit=0)
    bare = Promise.objects.create(
        instrument=make.make_instrument(), person=hold.person, kind="hold", opened_on=ON,
        until=LATE, opened_by=make.somebody(),
    )  # fmt: skip
    assert desk.get(reverse("shop:hold_paper", args=[bare.pk])).status_code == 404
    assert "No terms of a deposit" in desk.get(reverse("shop:hold_page", args=[bare.pk])).content.decode()
    with pytest.raises(NotEnough, match=r"no more than £0\.00"):
        let_go(bare, **KEPT | {"kept_minor": 1})


def test_a_large_deposit_is_cautioned_with_where_the_share_comes_from(desk):
    small, large = held(18_000), held(18_001)
    pages = [desk.get(reverse("shop:hold_page", args=[each.pk])).content.decode() for each in (small, large)]
    assert ["common practice, no source" in page for page in pages] == [False, True]
    assert "not legal advice" in pages[1]


def test_the_deposit_counts_when_it_becomes_the_sale():
    hold = held()
    sale = sell(
        instrument=hold.instrument, person=hold.person, price_minor=180_000, by=make.somebody(), on=ON
    )
    assert value_in(sale.promise) == 10_000 and credit_of(hold.person) == 0
    other = held(10_000)
    paid = sell(
        instrument=other.instrument, person=other.person, price_minor=15_000, pay_now_minor=9_000,
        method="cash", by=make.somebody(), on=ON,
    )  # fmt: skip
    assert value_in(paid.promise) == 15_000 and credit_of(other.person) == 4_000


@pytest.mark.both
def test_what_is_kept_has_its_reason_and_the_rest_is_refunded_with_a_receipt():
    hold = let_go(held(), give_back="refund", method="card", **KEPT)
    ending = HoldEnding.objects.get(promise=hold)
    assert (ending.paid_minor, ending.kept_minor, ending.let_go_by) == (10_000, 2_000, "customer")
    assert [each.amount_minor for each in hold.payments.all()] == [10_000, -8_000]
    assert value_in(hold) == 2_000 and credit_of(hold.person) == 0
    statement = statement_of(hold.person)
    assert [step.sum_minor for step in statement.steps] == [10_000, -2_000, -8_000]
    assert "A carrier was booked" in statement.steps[1].words
    statement_equals_the_ledger(statement)


@pytest.mark.parametrize(
    ("how", "sentence"),
    [
        (KEPT | {"kept_minor": 2_501}, "no more than £25.00"),
        (KEPT | {"on": ON + timedelta(days=7)}, "no more than £0.00"),
        (KEPT | {"let_go_by": "shop"}, "no more than £0.00"),
        (KEPT | {"kept_reason": " "}, "what the loss is"),
        (KEPT | {"told_how": ""}, "was told"),
    ],
)
def test_more_than_the_terms_or_without_a_word_is_refused(how, sentence):
    hold = held()
    with pytest.raises(Refused, match=sentence):
        let_go(hold, **how)
    assert Promise.objects.open().exists() and not HoldEnding.objects.exists()


def test_the_database_keeps_nothing_without_reason_or_beyond_what_was_paid():
    hold = held()
    row = {
        "promise": hold, "let_go_by": "customer", "give_back": "credit", "paid_minor": 100,
        "ended_on": ON, "recorded_by": make.somebody(),
    }  # fmt: skip
    for wrong in ({"kept_minor": 1}, {"kept_minor": 101, "kept_reason": "x", "told_how": "x"}):
        with pytest.raises(IntegrityError), transaction.atomic():
            HoldEnding.objects.create(**row, **wrong)


def test_the_page_of_the_end_says_what_the_terms_say_and_asks_for_no_more(desk, late):
    hold = held()
    page = desk.get(reverse("shop:hold_release", args=[hold.pk])).content.decode()
    assert "no more than £25.00 may be kept" in page and "never more than £25.00" in page
    answer = send(desk, "hold_release", hold.pk, let_go_by="customer", give_back="refund", method="card",
                  kept_minor="25.01", kept_reason="A carrier", told_how="By letter")  # fmt: skip
    assert "kept_minor" in answer.context["form"].errors and "A carrier" in answer.content.decode()
    answer = send(desk, "hold_release", hold.pk, give_back="refund", method="card", kept_minor="20")
    assert {"kept_reason", "told_how"} == set(answer.context["form"].errors)
    assert Promise.objects.open().exists()
    send(desk, "hold_release", hold.pk, give_back="refund", method="card", kept_minor="20",
         kept_reason="A carrier", told_how="By letter")  # fmt: skip
    page = desk.get(reverse("shop:hold_page", args=[hold.pk])).content.decode()
    assert "£20.00 was kept for a loss: A carrier" in page and "£80.00 was given back as money" in page
    assert "the customer let it go. Written down by" in page and "Take care" not in page
    assert Receipt.objects.last().get_absolute_url() in page


def test_early_nothing_can_be_kept_so_nothing_is_asked(desk, monkeypatch):
    monkeypatch.setattr("shop.views.holds.today", lambda: ON)
    hold = held()
    page = desk.get(reverse("shop:hold_release", args=[hold.pk]))
    assert list(page.context["form"].fields) == ["let_go_by", "give_back", "method"]
    assert "is theirs, whole" in page.content.decode()


def test_a_reader_of_the_record_sees_terms_and_end(desk):
    hold = let_go(held(), give_back="credit", **KEPT)
    page = desk.get(reverse("shop:record_page", args=[hold.instrument.stock_number])).content.decode()
    assert "HD26-001" in page and "£20.00 kept: A carrier was booked" in page


# Money given back after the end


def later(promise, amount=500, **how):
    how = {"method": "card", "reason": "The carrier took it back", "by": make.somebody(), "on": LATE} | how
    return give_back_later(promise=promise, amount_minor=amount, **how)


@pytest.mark.both
def test_what_was_kept_is_given_back_later_with_its_reason_and_receipt():
    hold = let_go(held(), give_back="refund", method="card", **KEPT)
    payment = later(hold)
    assert payment.given_back_later.reason == "The carrier took it back"
    assert payment.receipt.number == "RC26-003" and value_in(hold) == 1_500
    statement = statement_of(hold.person)
    assert [step.sum_minor for step in statement.steps] == [10_000, -2_000, -8_000, 500, -500]
    assert "Kept no longer" in statement.steps[3].words and "took it back" in statement.steps[3].words
    statement_equals_the_ledger(statement)


def test_a_deduction_of_a_trial_is_given_back_later_from_its_page(desk):
    trial = make.make_running_trial(pay_now_minor=50_000)
    scratch = Agreed("damage", "A scratch", 5_000, "signed", ON)
    by = make.somebody()
    return_trial(trial=trial, deduction=scratch, give_back="refund", method="cash", by=by, on=ON)
    address = reverse("shop:promise_give_back", args=[trial.promise.pk])
    assert address in desk.get(trial.get_absolute_url()).content.decode()
    answer = send(desk, "promise_give_back", trial.promise.pk, amount_minor="50", method="card", reason="Old")
    assert answer.url == trial.get_absolute_url()
    assert value_in(trial.promise) == 0 and GivenBackLater.objects.get().reason == "Old"
    assert address not in desk.get(trial.get_absolute_url()).content.decode()


@pytest.mark.parametrize(
    ("wrong", "field"),
    [
        ({"amount_minor": "20.01"}, "amount_minor"),
        ({"amount_minor": "0"}, "amount_minor"),
        ({"amount_minor": "x"}, "amount_minor"),
        ({"reason": ""}, "reason"),
    ],
)
def test_more_than_was_kept_or_without_a_reason_is_refused_beside_the_field(desk, wrong, field):
    hold = let_go(held(), give_back="refund", method="card", **KEPT)
    form = {"amount_minor": "5", "method": "card", "reason": "Why not"} | wrong
    answer = send(desk, "promise_give_back", hold.pk, **form)
    assert field in answer.context["form"].errors and Payment.objects.count() == 2


def test_what_has_not_ended_is_ended_first(desk):
    hold = held()
    with pytest.raises(Refused, match="has not ended"):
        later(hold)
    assert desk.get(reverse("shop:promise_give_back", args=[hold.pk])).status_code == 404


@pytest.mark.parametrize("way", ["place", "release", "later"])
def test_pressed_twice_and_sent_again_it_happens_once(desk, way, late):
    instrument, person = make.make_instrument(), make.make_person()
    hold = held() if way != "place" else None
    if way == "later":
        let_go(hold, give_back="credit", **KEPT)
    name, key, form = {
        "place": ("hold_place", instrument.stock_number,
                  {"person": person.pk, "until": f"{LATE}", "method": "card", "deposit_minor": "50"}),
        "release": ("hold_release", hold and hold.pk, {"give_back": "refund", "method": "card"}),
        "later": ("promise_give_back", hold and hold.pk,
                  {"amount_minor": "5", "method": "card", "reason": "Why not"}),
    }[way]  # fmt: skip
    form |= {"form_token": uuid4().hex}
    answers = {desk.post(reverse(f"shop:{name}", args=[key]), form).status_code for _ in range(3)}
    assert answers == {302}
    count = {"place": 1, "release": 2, "later": 2}[way]
    assert Payment.objects.count() == Receipt.objects.count() == count
    assert HoldTerms.objects.count() == 1


def test_two_who_print_at_once_keep_one_paper():
    terms = held().hold_terms
    papers = {issue_hold_paper(terms=terms, by=make.somebody()).pk for _ in range(2)}
    assert len(papers) == 1


# What cannot be, and who comes next


@pytest.mark.parametrize(
    ("wrong", "field", "sentence"),
    [
        ({"full_until": in_days(93)}, "full_until", "The hold itself ends on"),
        ({"until": in_days(93)}, "until", "Hold it for 92 days at most: until"),
        ({"until": "2099-01-01"}, "until", "It can be extended later"),
        ({"deposit_minor": "1,800.01"}, "deposit_minor", "more than the price asked, £1,800.00"),
        ({"deposit_minor": "1,000,000,000,000"}, "deposit_minor", "too large to be right"),
    ],
)
def test_terms_that_cannot_be_are_refused_beside_their_field(desk, wrong, field, sentence):
    instrument, person = make.make_instrument(), make.make_person()
    make.make_price(instrument=instrument, amount_minor=180_000)
    form = {"person": person.pk, "until": in_days(92), "method": "card"} | wrong
    answer = send(desk, "hold_place", instrument.stock_number, **form)
    assert sentence in str(answer.context["form"].errors[field]) and not Promise.objects.exists()


@pytest.mark.parametrize(
    ("wrong", "sentence"),
    [
        ({"deposit": 180_001}, "more than the price asked"),
        ({"full_until": ON + timedelta(days=15)}, "The hold itself ends on 4 April 2026"),
    ],
)
def test_the_act_refuses_them_too(wrong, sentence):
    with pytest.raises(Refused, match=sentence):
        held(**wrong)
    assert not Promise.objects.exists()


def test_left_empty_the_full_refund_runs_no_longer_than_the_hold(desk):
    instrument, person = make.make_instrument(), make.make_person()
    day = f"{date.today() + timedelta(days=2)}"
    send(desk, "hold_place", instrument.stock_number, person=person.pk, until=day, method="card")
    assert f"{HoldTerms.objects.get().full_until}" == day


def test_that_its_last_day_has_passed_is_offered_once_it_has(desk, late, monkeypatch):
    hold = held(days=8)  # its last day is today
    page = desk.get(reverse("shop:hold_release", args=[hold.pk])).content.decode()
    assert "its last day has passed" not in page and 'value="nobody"' not in page
    with pytest.raises(Refused, match="has not passed"):
        let_go(hold, let_go_by="nobody")
    monkeypatch.setattr("shop.views.holds.today", lambda: LATE + timedelta(days=1))
    form = desk.get(reverse("shop:hold_release", args=[hold.pk])).context["form"]
    assert form["let_go_by"].value() == "nobody"
    let_go(hold, let_go_by="nobody", on=LATE + timedelta(days=1))
    assert HoldEnding.objects.get().let_go_by == "nobody"


def test_the_money_goes_back_the_way_it_came_unless_credit_is_chosen(desk, late):
    hold = held()
    form = desk.get(reverse("shop:hold_release", args=[hold.pk])).context["form"]
    assert (form["give_back"].value(), form["method"].value()) == ("refund", "card")
    answer = send(desk, "hold_release", hold.pk, let_go_by="customer")
    assert "method" in answer.context["form"].errors and Promise.objects.open().exists()


def test_credit_stands_as_what_left_the_hold(desk, late):
    hold = let_go(held(), give_back="credit")
    page = desk.get(reverse("shop:hold_page", args=[hold.pk]))
    assert [row.held_minor for row in page.context["money_rows"]] == [10_000, -10_000]
    assert "now in credit" in page.content.decode()


def test_who_waits_stands_beside_the_hold_and_is_one_press_away_once_it_ends(desk, late):
    hold = held()
    next_one = make.make_person(name="Ansel Quarrie", telephone="01632 960 177")
    join_waiting_list(instrument=hold.instrument, person=next_one, by=make.somebody(), on=ON)
    hold_for_them = reverse("shop:hold_place", args=[hold.instrument.stock_number]) + f"?person={next_one.pk}"
    page = desk.get(reverse("shop:hold_page", args=[hold.pk])).content.decode()
    assert "tel:01632960177" in page and hold_for_them not in page
    assert "Ansel Quarrie is next" in desk.get(reverse("shop:hold_release", args=[hold.pk])).content.decode()
    let_go(hold, give_back="credit")
    assert hold_for_them in desk.get(reverse("shop:hold_page", args=[hold.pk])).content.decode()
    assert desk.get(hold_for_them).context["form"]["person"].value() == f"{next_one.pk}"


def test_changed_terms_say_since_when_and_what_running_holds_keep(desk, client, owner):
    hold = held()
    change_profile(by=make.somebody(), hold_full_days=3)
    assert "this hold keeps its own" in desk.get(reverse("shop:hold_page", args=[hold.pk])).content.decode()
    client.force_login(owner)
    page = client.get(reverse("shop:profile_edit"))
    assert (
        page.context["usual"].since == date.today()
        and "goes back in full for 3 days" in page.content.decode()
    )
    assert "the one that runs keeps the terms on its paper" in page.content.decode()


def test_the_shop_cannot_give_back_for_longer_than_it_holds(client, owner):
    client.force_login(owner)
    page = client.get(reverse("shop:profile_edit"))
    form = page.context["form"]
    typed = {name: "" if form[name].value() is None else form[name].value() for name in form.fields}
    answer = client.post(reverse("shop:profile_edit"), typed | {"hold_days": 3, "hold_full_days": 5})
    assert "A hold itself lasts 3 days" in answer.content.decode()
