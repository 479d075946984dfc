from datetime import timedelta

import pytest
from django.utils import timezone

from tests import make
from workorders.actions.bench_hours import set_hours

pytestmark = pytest.mark.django_db
PAGE = "/bench/plan/"


@pytest.fixture(autouse=True)
def at_the_bench(client, owner, technician):
    client.force_login(technician)
    today = timezone.localdate()
    set_hours(person=technician, since=today - timedelta(days=30), minutes=(60,) * 7, by=owner)


def order(**fields):
    return make.make_order(opened_on=timezone.localdate() - timedelta(days=3), **fields)


def read(client) -> str:
    return client.get(PAGE).content.decode()


def test_an_order_stands_with_its_finish_against_the_day_it_is_wanted(client, technician):
    today = timezone.localdate()
    late = order(title="Refresh the action", due_on=today)
    make.make_item(order=late, usual_minutes=180, assigned_to=technician)
    page = read(client)
    done = today + timedelta(days=2)
    assert f"{done:%-d %b %Y}" in page and "2 days late" in page
    assert "1 late by estimate" in page and 'class="drawing drawing-days"' in page


def test_who_has_more_than_fits_is_named(client, technician):
    today = timezone.localdate()
    make.make_item(order=order(due_on=today), usual_minutes=180, assigned_to=technician)
    page = read(client)
    assert f"Overloaded: 3 h wanted by {today:%-d %B}, 1 h at the bench until then: 2 h too many." in page


def test_somebody_with_work_and_no_hours_is_named(client, owner):
    make.make_item(order=order(), assigned_to=owner)
    assert "1 item, and no hours at the bench in these weeks." in read(client)


def test_an_order_nobody_took_up_for_a_fortnight_is_stuck(client):
    old = make.make_order(opened_on=timezone.localdate() - timedelta(days=34))
    make.make_item(order=old, name="Repin")
    make.make_item(order=order(), name="Tune")
    page = read(client)
    assert "“Repin” could be done; nobody has taken it" in page
    assert '<td class="num" data-label="Days">34</td>' in page and "“Tune” could be done" not in page


def test_with_nothing_open_the_page_says_what_to_do(client):
    page = read(client)
    assert "No order is open." in page and "every open order moved within a fortnight" in page


def test_sales_read_when_orders_end_and_not_who_is_overloaded(client, seller, technician):
    make.make_item(order=order(title="Refresh the action"), assigned_to=technician)
    client.force_login(seller)
    page = read(client)
    assert "Refresh the action" in page and "By person and week" not in page


def test_the_plan_takes_the_same_queries_however_much_is_open(
    client, technician, django_assert_max_num_queries
):
    counts = []
    for _ in range(2):
        for number in range(4):
            first = make.make_item(order=order(), assigned_to=technician)
            make.make_item(order=first.order, rank=20 + number, needs=[first])
        client.get(PAGE)
        with django_assert_max_num_queries(24) as asked:
            client.get(PAGE)
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_the_order_page_says_when_it_will_be_finished_and_why(client, technician):
    item = make.make_item(order=order(), name="Repin", usual_minutes=90, assigned_to=technician)
    page = client.get(item.order.get_absolute_url()).content.decode()
    done = timezone.localdate() + timedelta(days=1)
    assert f"About {done:%A %-d %B %Y}" in page
    assert f'<a href="{item.get_absolute_url()}">Repin</a>: can be started now.' in page


def test_the_order_page_says_what_is_missing_where_no_day_can_be_told(client, owner):
    item = make.make_item(order=order(), name="Repin", assigned_to=owner)
    page = client.get(item.order.get_absolute_url()).content.decode()
    assert "No day can be told yet." in page and "Olive Tarn, who has no hours at the bench" in page


def test_today_tells_the_owner_what_will_be_late_and_who_is_overloaded(client, owner, technician):
    today = timezone.localdate()
    late = order(title="Refresh the action", due_on=today)
    make.make_item(order=late, usual_minutes=180, assigned_to=technician)
    client.force_login(owner)
    page = client.get("/").content.decode()
    assert "Late by estimate" in page and "2 days after it is wanted" in page
    assert "Overloaded at the bench" in page and "2 h too many" in page
    client.force_login(technician)
    assert "Late by estimate" not in client.get("/").content.decode()
