import pytest
from django.urls import reverse
from django.utils import timezone

from tests import make
from tests.workorders.pages import item_and_its_prerequisite, send
from workorders.actions.proposals import propose_work
from workorders.actions.timers import start_timer

pytestmark = pytest.mark.django_db
BENCH = "/bench/"


@pytest.fixture(autouse=True)
def at_the_bench(client, technician):
    client.force_login(technician)


def names(lists) -> dict[str, list[str]]:
    return {kind: [item.name for item in getattr(lists, kind)] for kind in ("mine", "free", "waiting")}


def test_the_bench_shows_what_is_mine_what_is_free_and_what_waits(client, technician):
    item_and_its_prerequisite()
    make.make_item(name="Ease the keys", assigned_to=technician)
    assert names(client.get(BENCH).context["lists"]) == {
        "mine": ["Ease the keys"],
        "free": ["Lubricate the action"],
        "waiting": ["Set the touch weight"],
    }


def test_what_is_with_somebody_else_is_not_on_my_bench(client, owner):
    make.make_item(assigned_to=owner)
    assert names(client.get(BENCH).context["lists"])["free"] == []


def test_what_is_wanted_first_stands_first(client):
    later = make.make_order(due_on="2026-06-01")
    make.make_item(name="No hurry", order=make.make_order())
    make.make_item(name="In June", order=later)
    make.make_item(name="In April", order=make.make_order(due_on="2026-04-01"))
    assert names(client.get(BENCH).context["lists"])["free"] == ["In April", "In June", "No hurry"]


def test_work_wanted_on_a_day_that_is_past_is_said_to_be_late(client):
    make.make_item(order=make.make_order(due_on="2026-01-05"))
    assert "late: wanted by 5 January" in client.get(BENCH).content.decode()


def test_an_empty_bench_says_where_work_comes_from(client):
    assert "Work appears here when an order is opened" in client.get(BENCH).content.decode()


def test_i_take_it_moves_an_item_to_my_list(client, technician):
    item = make.make_item()
    answer = send(client, reverse("workorders:item_assign", args=[item.pk]), to=technician.pk, then="bench")
    assert answer.url == BENCH
    assert names(client.get(BENCH).context["lists"])["mine"] == ["Lubricate the action"]


def test_the_bench_takes_the_same_queries_however_much_waits(
    client, technician, django_assert_max_num_queries
):
    def a_day_more() -> int:
        _, lubricate = item_and_its_prerequisite()
        mine = make.make_item(order=lubricate.order, assigned_to=technician)
        propose_work(item=mine, part="case", condition="attend", by=technician, on=make.A_DAY)
        start_timer(item=mine, by=technician, at=timezone.now())
        client.get(BENCH)
        with django_assert_max_num_queries(21) as taken:
            client.get(BENCH)
        return len(taken)

    assert a_day_more() == [a_day_more() for _ in range(8)][-1]


def test_a_bench_without_work_says_what_is_open_and_links_it(client, owner):
    _, lubricate = item_and_its_prerequisite()
    lubricate.assigned_to = owner
    lubricate.save()
    make.make_order()
    page = client.get(BENCH).content.decode()
    assert (
        "2 orders are open. Of what is to be done, 1 is with somebody else and 1 waits for something else."
        in page
    )
    assert reverse("workorders:order_list") in page and "The bench is clear" not in page
