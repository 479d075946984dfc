"""Call-backs: taken down, judged, made work, closed with what was found; what waits today; what it cost."""

from datetime import date, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from instruments.models import RecordIsPermanent
from instruments.problems import Blocked, Refused
from shop.actions.call_backs import (
    answer_call_back,
    close_call_back,
    judge_call_back,
    order_call_back,
    take_call_back,
)
from shop.actions.care_terms import agree_care, usual_terms
from shop.actions.histories import issue_history
from shop.actions.profile import change_profile
from shop.actions.sale_course import write_agreed
from shop.actions.visits import write_up_visit
from shop.after_care import care_of
from shop.call_back_costs import cost_of_call_back
from shop.care_problems import judging_cautions
from shop.cost_entries import lines_of
from shop.costs import true_cost
from shop.models import CallBack
from shop.waiting_care import after_care_waiting, visits_of
from tests import make
from tests.make_care import make_call_back, make_sale_with_care, make_visit, posted
from workorders.actions.bench import log_time, set_rate
from workorders.actions.orders import give_up_order

pytestmark = pytest.mark.django_db
DELIVERED = date(2026, 2, 2)
TOLD = date(2026, 3, 21)


@pytest.fixture
def sale(owner):
    set_rate(per_hour_minor=3000, since=date(2026, 1, 1), by=owner)
    return make_sale_with_care(by=owner, delivered_on=DELIVERED)


@pytest.fixture
def told(owner, sale):
    return make_call_back(instrument=sale.instrument, by=owner, on=TOLD)


def judged(call_back, by, verdict="guarantee", why="", on=TOLD):
    return judge_call_back(call_back=call_back, verdict=verdict, why=why, by=by, on=on)


def sentences(call_back, sale, on):
    return " ".join(each.sentence for each in judging_cautions(call_back, care_of(sale, on=on)))


def test_the_whole_way_through_its_pages(client, owner, seller, technician, sale):
    client.force_login(seller)
    url = reverse("shop:call_back_add", args=[sale.instrument.stock_number])
    page = client.get(url)
    assert "From Bea Buyer." in page.content.decode()
    fields = posted(page, words="Two notes stay down.", part="centres", urgent="on", told_on="2026-03-21")
    client.post(url, fields)
    told = CallBack.objects.get()
    assert told.answer_by == date(2026, 3, 22) and told.part_name == "Action centres and springs"
    judge = reverse("shop:call_back_judge", args=[told.number])
    shown = client.get(judge)
    assert "That part is in the guarantee" in shown.content.decode()
    assert client.post(judge, posted(shown, verdict="guarantee")).status_code == 302
    client.post(reverse("shop:call_back_order", args=[told.number]))
    told.refresh_from_db()
    assert told.order.items.get().note == "Two notes stay down."
    close = reverse("shop:call_back_close", args=[told.number])
    found = {"outcome": "put_right", "found": "Two centres tight; re-centred."}
    refused = client.post(close, posted(client.get(close), **found)).content.decode()
    assert "is open still" in refused and "re-centred." in refused
    log_time(item=told.order.items.get(), person=technician, minutes=50, by=technician, on=TOLD)
    give_up_order(order=told.order, reason="Done at their house.", by=owner, on=TOLD)
    assert client.post(close, posted(client.get(close), **found)).status_code == 302
    page = client.get(told.get_absolute_url()).content.decode()
    assert "Two centres tight" in page and "£25.00" not in page
    client.force_login(owner)
    assert "£25.00" in client.get(told.get_absolute_url()).content.decode()  # 50 min at 30.00


def test_the_part_has_to_be_in_the_guarantee_on_the_day_it_was_told(owner, sale):
    last = make_call_back(instrument=sale.instrument, by=owner, on=date(2027, 2, 2))
    late = make_call_back(instrument=sale.instrument, by=owner, on=date(2027, 2, 3))
    assert judged(last, owner).is_at_our_cost
    with pytest.raises(Blocked, match=r"ended on 2 February 2027. What we do all the same is goodwill"):
        judged(late, owner)
    assert judged(late, owner, "goodwill", "A good customer.").is_at_our_cost


def test_a_part_left_out_is_not_guaranteed(owner, sale):
    told = make_call_back(
        instrument=sale.instrument, by=owner, on=TOLD, part="polish", part_name="Polish and veneer"
    )
    with pytest.raises(Blocked, match="Polish and veneer is not in its guarantee"):
        judged(told, owner)


def test_six_months_of_presumption_are_named_to_their_last_day(owner, sale):
    # Consumer Rights Act 2015 s 19(14): six months beginning with the day of delivery (CHECKS section 8)
    last = make_call_back(instrument=sale.instrument, by=owner, on=date(2026, 8, 1))
    late = make_call_back(instrument=sale.instrument, by=owner, on=date(2026, 8, 2))
    assert "Told by 1 August 2026" in sentences(last, sale, date(2026, 8, 2))
    assert "ended on 1 August 2026" in sentences(late, sale, date(2026, 8, 2))
    assert "not legal advice" in sentences(late, sale, date(2026, 8, 2))


def test_to_a_business_no_consumer_law_is_cited(owner, sale, told):
    write_agreed(sale=sale, agreed_where="shop", is_consumer=False, by=owner)
    said = sentences(told, sale, TOLD)
    assert "Consumer Rights Act" not in said and "Bought for a business" in said
    assert "That part is in the guarantee" in said


def test_under_another_law_none_of_this_one_is_cited(owner, sale, told):
    change_profile(by=owner, jurisdiction="us")
    said = sentences(told, sale, TOLD)
    assert "Consumer Rights Act" not in said and "Not worked out here for the United States" in said


def test_what_they_were_told_is_written_down_once_it_is_judged(client, owner, seller, told):
    client.force_login(seller)
    url = reverse("shop:call_back_answer", args=[told.number])
    said = {"answered_on": "2026-03-23", "how": "telephone", "words": "We come on Tuesday, at our cost."}
    early = client.post(url, posted(client.get(url), **said)).content.decode()
    assert "Judge it first" in early and "We come on Tuesday" in early
    judged(told, owner)
    page = client.get(told.get_absolute_url()).content.decode()
    assert "Tell them, by 28 March 2026." in page and "Nobody has written it down yet." in page
    before = client.post(url, posted(client.get(url), **said | {"answered_on": "2026-03-20"}))
    assert "They told of it on 21 March 2026, a later day than this." in before.content.decode()
    fields = posted(client.get(url), **said)
    assert client.post(url, fields).url == client.post(url, fields).url == told.get_absolute_url()
    answer = told.answers.get()
    assert (answer.answered_on, answer.how) == (date(2026, 3, 23), "telephone")
    page = client.get(told.get_absolute_url()).content.decode()
    assert "We come on Tuesday, at our cost." in page and "Tell them, by" not in page
    with pytest.raises(RecordIsPermanent):
        answer.delete()


def test_it_waits_until_they_are_told(owner, told):
    late = told.answer_by + timedelta(days=1)
    judged(told, owner)
    line = after_care_waiting(late)[0].lines[0]
    assert line.is_late and line.detail.startswith("Judged: tell them 1 day late")
    answer_call_back(call_back=told, answered_on=TOLD, how="email", words="We come.", by=owner, on=TOLD)
    line = after_care_waiting(late)[0].lines[0]
    assert not line.is_late and line.detail == "Answered, not closed"


def test_the_bench_reads_a_call_back_without_the_name_and_acts_on_nothing(client, technician, told):
    client.force_login(technician)
    page = client.get(told.get_absolute_url())
    assert page.status_code == 200 and "The pedal squeaks." in page.content.decode()
    for hidden in ("Bea Buyer", "01632 960111", "Judge it", "Book a visit", "Take care:"):
        assert hidden not in page.content.decode()


def test_a_name_in_their_words_is_left_out_for_the_bench(client, owner, seller, technician, sale):
    words = "BEA BUYER says: it squeaks, and Mrs Buyer is cross."
    told = make_call_back(instrument=sale.instrument, by=owner, on=TOLD, words=words)
    visit = make_visit(instrument=told.instrument, by=owner, call_back=told, booked_for=TOLD)
    done = reverse("shop:visit_done", args=[visit.number])
    pages = [told.get_absolute_url(), visit.get_absolute_url(), done]
    for user, is_named in ((technician, False), (seller, True)):
        client.force_login(user)
        for url in pages:
            page = client.get(url).content.decode()
            assert "says: it squeaks" in page
            assert ("BEA" in page, "Mrs Buyer" in page) == (is_named, is_named)


def test_those_who_see_people_read_the_telephone_beside_the_name(client, seller, told):
    told.person.telephone = "01632 960111"
    told.person.save()
    client.force_login(seller)
    assert 'href="tel:01632960111"' in client.get(told.get_absolute_url()).content.decode()


def test_a_visit_for_a_call_back_says_so_wherever_it_stands(client, owner, technician, told):
    visit = make_visit(instrument=told.instrument, by=owner, who=technician, call_back=told, booked_for=TOLD)
    client.force_login(technician)
    done = reverse("shop:visit_done", args=[visit.number])
    for url in (visit.get_absolute_url(), done):
        page = client.get(url).content.decode()
        assert "The pedal squeaks." in page and told.get_absolute_url() in page
    assert "call-back, pedals and trapwork" in client.get(reverse("shop:visits")).content.decode()
    assert "call-back, pedals and trapwork" in visits_of(technician, on=TOLD)[0].lines[0].words
    day = client.get(reverse("shop:visit_calendar", args=[visit.number])).content.decode()
    assert f"{told.number}: pedals and trapwork" in day


@pytest.mark.parametrize("verdict", ["goodwill", "climate", "not_covered"])
def test_a_no_or_a_favour_wants_a_reason(owner, told, verdict):
    with pytest.raises(Blocked, match="Say why"):
        judged(told, owner, verdict)
    assert judged(told, owner, verdict, "The room stood at 25 % RH.").why


def test_climate_wants_the_reading_that_shows_it(client, seller, told):
    client.force_login(seller)
    url = reverse("shop:call_back_judge", args=[told.number])
    page = client.post(url, posted(client.get(url), verdict="climate", why="Dry room."))
    assert "Give the reading that shows it." in page.content.decode() and not told.judgements.exists()
    fields = posted(client.get(url), verdict="climate", why="Dry room.", humidity_percent="25")
    assert client.post(url, fields).status_code == 302
    assert "They read 25 % RH" in client.get(told.get_absolute_url()).content.decode()


def test_what_is_not_at_our_cost_becomes_no_work_by_a_press(owner, told):
    with pytest.raises(Blocked, match="Judge it first"):
        order_call_back(call_back=told, by=owner, on=TOLD)
    judged(told, owner, "not_covered", "It is wear.")
    with pytest.raises(Blocked, match="not to be at our cost"):
        order_call_back(call_back=told, by=owner, on=TOLD)
    judged(told, owner, "legal")
    assert order_call_back(call_back=told, by=owner, on=TOLD).is_open
    with pytest.raises(Blocked, match="already"):
        order_call_back(call_back=told, by=owner, on=TOLD)


def test_nobody_calls_back_about_what_nobody_has(client, owner, seller):
    instrument = make.make_instrument(by=owner)
    with pytest.raises(Refused, match="Nobody has it from us"):
        make_call_back(instrument=instrument, by=owner)
    client.force_login(seller)
    page = client.get(reverse("shop:call_back_add", args=[instrument.stock_number]))
    assert "nobody who could call back" in page.content.decode()


def test_during_a_home_trial_there_is_no_guarantee_but_a_call_back(owner):
    trial = make.make_running_trial(person=make.make_person(name="Tess Tryer"))
    told = make_call_back(instrument=trial.instrument, by=owner, on=TOLD)
    assert told.person.name == "Tess Tryer"
    with pytest.raises(Blocked, match="No guarantee was given with it"):
        judged(told, owner)
    assert judged(told, owner, "goodwill", "It is ours.").is_at_our_cost


def test_a_visit_booked_for_it_costs_as_guarantee_and_holds_it_open(owner, technician, told):
    judged(told, owner)
    visit = make_visit(instrument=told.instrument, by=owner, call_back=told, booked_for=TOLD)
    with pytest.raises(Blocked, match="booked and not written up"):
        close_call_back(call_back=told, outcome="put_right", found="Eased.", by=owner, on=TOLD)
    write_up_visit(
        visit=visit, visited_on=TOLD, visited_by=technician, minutes=20, work="Eased.", by=owner, on=TOLD
    )
    assert visit.instrument.cost_lines.get().kind == "guarantee"
    assert cost_of_call_back(told) == 1000
    assert close_call_back(call_back=told, outcome="put_right", found="Eased.", by=owner, on=TOLD).closed_on


@pytest.mark.parametrize(
    ("verdict", "why", "spent"),
    [
        ("guarantee", "", {"guarantee": 2_500, "labour": 0, "reserve": 7_500}),
        ("legal", "", {"guarantee": 2_500, "labour": 0, "reserve": 7_500}),
        ("goodwill", "A good customer.", {"guarantee": 0, "labour": 2_500, "reserve": 10_000}),
    ],
)
def test_only_work_under_guarantee_counts_as_such_and_lessens_the_reserve(
    client, owner, technician, sale, told, verdict, why, spent
):
    change_profile(by=owner, reserve_fixed_minor=10_000, guarantee_months=12)
    judged(told, owner, verdict, why)
    order = order_call_back(call_back=told, by=owner, on=TOLD)
    log_time(item=order.items.get(), person=technician, minutes=50, by=technician, on=TOLD)  # at 30.00
    cost = true_cost(sale.instrument, on=TOLD)
    assert {kind: cost.spent[kind] for kind in spent} == spent
    lines = {line.kind: line.amount_minor for line in lines_of(sale.instrument, cost, user=owner)}
    assert {kind: lines.get(kind, 0) for kind in spent} == spent
    client.force_login(owner)
    page = client.get(told.get_absolute_url()).content.decode()
    assert ("not counted as work under guarantee" in page) == (verdict == "goodwill")


def test_judged_again_what_the_bench_did_counts_as_it_is_judged_now(owner, technician, sale, told):
    judged(told, owner)
    order = order_call_back(call_back=told, by=owner, on=TOLD)
    log_time(item=order.items.get(), person=technician, minutes=50, by=technician, on=TOLD)
    assert true_cost(sale.instrument, on=TOLD).spent["guarantee"] == 2_500
    judged(told, owner, "not_covered", "It is wear.")
    cost = true_cost(sale.instrument, on=TOLD)
    assert (cost.spent["guarantee"], cost.spent["labour"]) == (0, 2_500)


def test_a_visit_before_anybody_judged_is_no_guarantee_work_yet(owner, technician, told):
    visit = make_visit(instrument=told.instrument, by=owner, call_back=told, booked_for=TOLD)
    record = {"visited_on": TOLD, "visited_by": technician, "minutes": 20, "work": "Looked."}
    write_up_visit(visit=visit, by=owner, on=TOLD, **record)
    assert visit.instrument.cost_lines.get().kind == "other"


def test_a_closed_one_takes_no_more(owner, told):
    judged(told, owner)
    close_call_back(call_back=told, outcome="nothing", found="It does not squeak.", by=owner, on=TOLD)
    for act in (judged, lambda told, by: order_call_back(call_back=told, by=by, on=TOLD)):
        with pytest.raises(Blocked, match="closed already"):
            act(told, owner)
    with pytest.raises(Refused, match="closed already"):
        make_visit(instrument=told.instrument, by=owner, call_back=told, booked_for=TOLD)


def test_what_was_put_right_stays_with_the_piano_and_names_nobody(client, owner, told):
    judged(told, owner)
    close_call_back(call_back=told, outcome="put_right", found="Pedal eased.", by=owner, on=TOLD)
    other = make_call_back(instrument=told.instrument, by=owner, on=TOLD, words="Bea Buyer is cross.")
    judged(other, owner)
    close_call_back(call_back=other, outcome="nothing", found="Bea Buyer mistook it.", by=owner, on=TOLD)
    page = client.get(issue_history(instrument=told.instrument, by=owner, on=TOLD).get_absolute_url())
    words = page.content.decode()
    assert "Pedals and trapwork, under our guarantee: Put right: Pedal eased." in words
    assert "Bea Buyer" not in words


def headings(on):
    return {group.heading: group.lines for group in after_care_waiting(on)}


def test_today_tells_what_waits_and_what_is_late(owner, technician, sale, told):
    late = headings(told.answer_by + timedelta(days=1))["Call-backs"]
    assert late[0].is_late and "Bea Buyer" in late[0].words
    assert not headings(told.answer_by)["Call-backs"][0].is_late
    judged(told, owner)
    assert headings(told.answer_by + timedelta(days=1))["Call-backs"][0].detail.startswith(
        "Judged: tell them"
    )
    visit = make_visit(instrument=sale.instrument, by=owner, who=technician, booked_for=TOLD)
    assert "Visits not written up" not in headings(TOLD)
    assert "Visits not written up" in headings(TOLD + timedelta(days=1))
    assert visits_of(technician, on=TOLD)[0].lines[0].url == visit.get_absolute_url()


def test_today_tells_tunings_due_and_guarantees_that_end(sale):
    due = DELIVERED + timedelta(days=28)
    assert "Tunings due" in headings(due - timedelta(days=28))
    assert "Tunings due" not in headings(due - timedelta(days=29))
    assert headings(due + timedelta(days=1))["Tunings due"][0].is_late
    assert "Guarantees that end" in headings(date(2027, 1, 19))
    assert "Guarantees that end" not in headings(date(2027, 1, 18))


def test_a_delivered_sale_with_nothing_agreed_is_asked_about_for_a_year(owner):
    sale = make_sale_with_care(by=owner, delivered_on=DELIVERED, agreed=False)
    (line,) = headings(TOLD)["Delivered, after-care not agreed"]
    assert line.url == reverse("shop:sale_care", args=[sale.number])
    assert "Delivered, after-care not agreed" not in headings(sale.sold_on + timedelta(days=365))
    agree_care(sale=sale, terms=usual_terms(), by=owner)
    assert "Delivered, after-care not agreed" not in headings(TOLD)


def test_one_that_is_not_delivered_is_not_asked_about(owner):
    make_sale_with_care(by=owner, agreed=False)
    assert "Delivered, after-care not agreed" not in headings(TOLD)


def test_the_list_shows_what_is_due_and_does_not_ask_more_for_more_sales(
    client, seller, owner, sale, django_assert_max_num_queries
):
    client.force_login(seller)
    url = reverse("shop:after_care")
    client.get(url)
    for name in ("Ada", "Eve", "Ivo"):
        make_sale_with_care(by=owner, person=make.make_person(name=name), delivered_on=DELIVERED)
    with django_assert_max_num_queries(16):
        page = client.get(url + "?show=all").content.decode()
    assert page.count("row-name") == 4
    assert timezone.localdate() > DELIVERED + timedelta(days=28)
    assert client.get(url + "?show=overdue").content.decode().count("row-name") == 4


def test_an_urgent_one_is_answered_sooner(owner, sale):
    told = take_call_back(
        instrument=sale.instrument,
        words="The lid fell.",
        part="case",
        part_name="Case",
        urgent=True,
        told_on=TOLD,
        by=owner,
        on=TOLD,
    )
    assert told.answer_by == TOLD + timedelta(days=1)


def test_a_fault_is_not_told_of_before_it_was_sold(client, owner, told):
    client.force_login(owner)
    address = reverse("shop:call_back_add", args=[told.instrument.stock_number])
    sold_on = told.promise.sale.sold_on
    day = sold_on - timedelta(days=1)
    sent = posted(client.get(address), words="It hums.", part="other", told_on=str(day))
    errors = client.post(address, sent).context["form"].errors
    assert errors["told_on"] == [f"It was sold to them on {sold_on:%-d %B %Y} only, a later day than this."]


def test_put_right_waits_for_the_customers_word(client, owner, told):
    judge_call_back(call_back=told, verdict="guarantee", by=owner, on=TOLD)
    close_call_back(call_back=told, outcome="put_right", found="Eased.", by=owner, on=TOLD)
    client.force_login(owner)
    assert (
        "Put right, not yet confirmed by the customer" in client.get(told.get_absolute_url()).content.decode()
    )
    address = reverse("shop:call_back_confirm", args=[told.number])
    page = client.post(address, posted(client.get(address), confirmed_on=str(TOLD)), follow=True)
    assert f"Put right, confirmed by the customer on {TOLD:%-d %B %Y}" in page.content.decode()
