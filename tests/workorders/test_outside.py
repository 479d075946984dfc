"""Work outside: an item waits while its piece is away, and what is billed lands in the instrument's cost."""

from datetime import timedelta

import pytest
from django.utils import timezone

from instruments.problems import Blocked
from tests import make
from tests.reading import Reading
from tests.workorders.pages import send
from workorders.actions.items import close_item
from workorders.actions.orders import close_order
from workorders.actions.outside import (
    agree_price,
    bill_outside,
    bring_back,
    cancel_outside,
    promise_anew,
    send_out,
    take_back_bill,
)
from workorders.costs import bench_cost_of
from workorders.models import OutsideJob, WorkItem
from workorders.problems import item_problems
from workorders.steps import steps_of

pytestmark = pytest.mark.django_db


def today():
    return timezone.localdate()


@pytest.fixture
def away(owner):
    """The fall of one piano, gone a fortnight and three days ago for a fortnight."""
    return make.make_job_away(items=[make.make_item(name="Polish the fall")], on=today() - timedelta(days=17))


def test_an_item_waits_for_its_piece_and_says_with_whom_and_how_late(away):
    item = away.items.get()
    promised = today() - timedelta(days=3)
    words = f"Hazel Finch until {promised:%-d %B %Y}, overdue by 3 days"
    assert [problem.sentence for problem in item_problems(item)] == [f"It is with {words}."]
    step = steps_of([item.order])[item.order_id].steps[0]
    assert (step.state, step.waits_words) == ("waits", f"waits for {words}")
    assert list(WorkItem.objects.can_be_done_now()) == []
    assert list(WorkItem.objects.waiting()) == [item]


def test_what_is_away_cannot_be_closed_and_can_once_it_is_back(away, owner):
    item = away.items.get()
    with pytest.raises(Blocked, match="It is with Hazel Finch"):
        close_item(item=item, by=owner, on=today(), result="Polished.")
    bring_back(job=away, condition="Even, no runs", by=owner, on=today())
    assert close_item(item=item, by=owner, on=today(), result="Polished.").state == "done"


def test_other_items_of_the_order_go_on_where_the_item_is_named(away):
    other = make.make_item(order=away.order, name="Clean out")
    assert item_problems(other) == []


def test_without_an_item_named_the_whole_order_waits(owner):
    order = make.make_order()
    item = make.make_item(order=order)
    make.make_job_away(order=order)
    assert len(item_problems(item)) == 1
    assert list(WorkItem.objects.can_be_done_now()) == []


def test_a_whole_instrument_out_holds_all_its_orders_and_is_whereabouts(owner):
    order = make.make_order()
    other = make.make_item(order=make.make_order(instrument=order.instrument))
    job = make.make_job_away(order=order, goes="whole")
    assert len(item_problems(other)) == 1
    order.instrument.refresh_from_db()
    assert (order.instrument.place, order.instrument.place_note) == (
        "outworker",
        f"Hazel Finch, {job.number}",
    )
    bring_back(job=job, condition="", by=owner, on=make.A_DAY, place="showroom")
    order.instrument.refresh_from_db()
    assert order.instrument.place == "showroom"


def test_somebody_who_comes_to_us_holds_nothing_up(owner):
    item = make.make_item()
    make.make_job_away(items=[item], goes="nothing")
    assert item_problems(item) == []
    assert list(WorkItem.objects.can_be_done_now()) == [item]


def test_a_piece_cannot_go_twice(away):
    again = make.make_outside_job(items=list(away.items.all()))
    with pytest.raises(Blocked, match="it is with Hazel Finch already"):
        send_out(
            job=again,
            goes="parts",
            what_goes="The fall",
            promised_on=None,
            condition="",
            by=make.somebody(),
            on=today(),
        )


def test_an_order_is_not_ready_while_work_for_it_is_out_or_asked_for(away, owner):
    WorkItem.objects.filter(order=away.order).update(is_required=False)
    with pytest.raises(Blocked, match="not back yet"):
        close_order(order=away.order, by=owner, on=today())


def test_what_is_with_them_is_not_cancelled(away, owner):
    with pytest.raises(Blocked, match="back first"):
        cancel_outside(job=away, reason="Too dear", by=owner)
    asked = make.make_outside_job(order=away.order)
    assert cancel_outside(job=asked, reason="Too dear", by=owner).state == "cancelled"


def test_another_day_promised_is_told_with_its_reason(away, owner):
    later = today() + timedelta(days=5)
    job = promise_anew(job=away, promised_on=later, why="The shellac was late", by=owner)
    assert job.days_overdue(today()) == 0
    assert job.history.first().history_change_reason.endswith(f"{later:%-d %B %Y}: The shellac was late")


def test_it_does_not_come_back_before_it_went(away, owner):
    with pytest.raises(Blocked, match="only went on"):
        bring_back(job=away, condition="", by=owner, on=today() - timedelta(days=30))


def cost(job):
    cost = bench_cost_of(job.order.instrument)
    return cost.outside_minor, cost.outside_to_come_minor, cost.total_minor


def test_the_price_agreed_is_still_to_come_until_it_is_billed(away, owner):
    agree_price(job=away, quoted_minor=20_000, agreed_minor=18_000, by=owner)
    assert cost(away) == (0, 18_000, 0)
    first = bill_outside(job=away, amount_minor=5_000, is_last=False, by=owner, on=today())
    assert cost(away) == (5_000, 13_000, 5_000)
    last = bill_outside(job=away, amount_minor=12_500, by=owner, on=today())
    assert cost(away) == (17_500, 0, 17_500)
    take_back_bill(bill=last, by=owner)
    assert cost(away) == (5_000, 13_000, 5_000)
    take_back_bill(bill=first, by=owner)
    assert cost(away) == (0, 18_000, 0)


def test_a_bill_is_taken_back_once(away, owner):
    bill = bill_outside(job=away, amount_minor=5_000, by=owner, on=today())
    take_back_bill(bill=bill, by=owner)
    with pytest.raises(Blocked, match="taken back already"):
        take_back_bill(bill=bill, by=owner)


def test_nothing_is_to_come_of_what_was_cancelled(owner):
    job = make.make_outside_job()
    agree_price(job=job, quoted_minor=None, agreed_minor=18_000, by=owner)
    cancel_outside(job=job, reason="Done here", by=owner)
    assert cost(job) == (0, 0, 0)


def test_the_note_says_what_goes_for_what_and_when_and_names_no_price(away, owner, client):
    agree_price(job=away, quoted_minor=18_000, agreed_minor=18_000, by=owner)
    client.force_login(owner)
    paper = Reading(client.get(f"/bench/outside/{away.number}/note/").content)
    assert len(paper.reader.pages) == 1
    for words in (away.number, "Hazel Finch", "The fall", "Strip and polish the fall", "Polish the fall"):
        assert words in paper.text
    assert f"{away.promised_on:%-d %B %Y}" in paper.text
    assert paper.text.count("Signature") == 2
    assert "180" not in paper.text


def test_the_pages_ask_send_and_take_back(client, technician):
    client.force_login(technician)
    item, outworker = make.make_item(), make.make_outworker()
    fields = {"kind": "key_tops", "work": "New tops", "outworker": outworker.pk, "items": [item.pk]}
    send(client, f"/orders/{item.order.number}/outside/", **fields)
    job = OutsideJob.objects.get()
    page = f"/bench/outside/{job.number}/"
    answer = send(client, f"{page}send/", goes="parts", what_goes="", on=today().isoformat())
    assert "Say which parts go." in answer.content.decode()
    send(client, f"{page}send/", goes="parts", what_goes="52 naturals", on=today().isoformat())
    assert f"with {outworker}" in client.get(item.get_absolute_url()).content.decode()
    send(client, f"{page}back/", on=today().isoformat(), condition="Good")
    job.refresh_from_db()
    assert (job.state, job.what_goes, job.back_condition) == ("back", "52 naturals", "Good")


def test_prices_are_shown_to_those_who_may_see_costs_only(away, owner, technician, client):
    agree_price(job=away, quoted_minor=18_055, agreed_minor=18_055, by=owner)
    for person, shown in ((owner, True), (technician, False)):
        client.force_login(person)
        assert ("180.55" in client.get(away.get_absolute_url()).content.decode()) is shown


def test_today_tells_what_should_be_back(away, client, technician):
    client.force_login(technician)
    assert "3 days late" in client.get("/").content.decode()


@pytest.mark.parametrize("count", [1, 8])
def test_the_list_takes_the_same_queries_however_much_is_out(count, client, owner, django_assert_num_queries):
    client.force_login(owner)
    for _ in range(count):
        make.make_job_away()
    client.get("/bench/outside/")
    with django_assert_num_queries(6):
        client.get("/bench/outside/")


def test_what_is_most_overdue_stands_first(client, owner):
    client.force_login(owner)
    later = make.make_job_away(days=20)
    sooner = make.make_job_away(days=2)
    page = client.get("/bench/outside/").content.decode()
    assert page.index(sooner.number) < page.index(later.number)
