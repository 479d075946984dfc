import pytest
from django.urls import reverse

from tests import make
from tests.workorders.pages import send
from workorders.actions.items import close_item
from workorders.actions.tasks import load_task_sets, load_tasks
from workorders.models import WorkItem, WorkOrder

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def at_the_bench(client, technician):
    client.force_login(technician)


def open_url(instrument):
    return reverse("workorders:order_open", args=[instrument.stock_number])


def test_an_order_is_opened_from_a_set_and_takes_its_name(client):
    load_tasks()
    load_task_sets()
    instrument = make.make_instrument()
    answer = send(client, open_url(instrument), sets=["customers-touch"], tasks=["voice"])
    order = WorkOrder.objects.get()
    assert (answer.url, order.title) == (order.get_absolute_url(), "Touch to a customer's hand")
    assert {"Voice", "Set the touch weight"} <= {item.name for item in order.items.all()}


def test_an_order_needs_a_title_or_a_set_and_keeps_what_was_ticked(client):
    load_tasks()
    answer = send(client, open_url(make.make_instrument()), tasks=["voice"], note="For the choir")
    page = answer.content.decode()
    assert "Say what the order is for, or choose a set." in page
    assert "For the choir" in page
    assert 'value="voice" id="task-voice" checked' in page
    assert not WorkOrder.objects.exists()


def test_an_order_cannot_be_wanted_by_a_day_that_has_passed(client):
    load_tasks()
    load_task_sets()
    instrument = make.make_instrument()
    answer = send(client, open_url(instrument), sets=["customers-touch"], due_on="2025-01-01")
    assert "That day has passed." in answer.content.decode() and not WorkOrder.objects.exists()


def test_a_task_that_is_not_in_the_library_is_refused_in_words(client):
    answer = send(client, open_url(make.make_instrument()), title="Odd", tasks=["no-such-task"])
    assert "“no-such-task” is not in the task library." in answer.content.decode()


def test_the_same_form_sent_twice_opens_one_order(client):
    fields = {"form_token": "a" * 32, "title": "Prepare for sale"}
    url = open_url(make.make_instrument())
    assert client.post(url, fields).url == client.post(url, fields).url
    assert WorkOrder.objects.count() == 1


def test_the_page_shows_done_can_be_started_and_waits(client, technician):
    clean = make.make_item(name="Clean out", rank=1)
    lubricate = make.make_item(order=clean.order, name="Lubricate the action", rank=2)
    make.make_item(order=clean.order, name="Set the touch weight", rank=3, needs=[lubricate])
    close_item(item=clean, by=technician, on=make.A_DAY, result="Done.")
    page = client.get(clean.order.get_absolute_url()).content.decode()
    assert "done 21 Mar" in page
    assert reverse("workorders:item_close", args=[lubricate.pk]) in page
    assert "waits for 2" in page


def test_money_is_shown_only_to_those_who_may_see_costs(client, technician, owner):
    order = make.make_order()
    assert "Time and parts" not in client.get(order.get_absolute_url()).content.decode()
    client.force_login(owner)
    assert "Time and parts" in client.get(order.get_absolute_url()).content.decode()


def test_sales_read_an_order_and_are_offered_no_buttons(client, seller):
    item = make.make_item()
    client.force_login(seller)
    page = client.get(item.order.get_absolute_url()).content.decode()
    assert item.name in page
    assert reverse("workorders:item_close", args=[item.pk]) not in page


def test_work_is_added_from_the_library(client):
    load_tasks()
    order = make.make_order()
    send(client, reverse("workorders:order_add", args=[order.number]), tasks=["voice"])
    assert [item.name for item in order.items.all()] == ["Voice"]


def test_adding_nothing_is_said(client):
    order = make.make_order()
    answer = send(client, reverse("workorders:order_add", args=[order.number]))
    assert "Choose a set or at least one task." in answer.content.decode()


def test_work_is_added_in_our_own_words(client):
    order = make.make_order()
    send(
        client,
        reverse("workorders:item_add", args=[order.number]),
        name="New lock for the fall",
        usual_minutes="1 h 15",
        acceptance="note",
        is_required="on",
    )
    item = WorkItem.objects.get()
    assert (item.name, item.usual_minutes, item.is_required) == ("New lock for the fall", 75, True)


def test_a_time_nobody_can_read_keeps_the_rest_of_the_form(client):
    order = make.make_order()
    url = reverse("workorders:item_add", args=[order.number])
    page = send(client, url, name="New lock", usual_minutes="a while", acceptance="note").content.decode()
    assert "“a while” is not a time: write 90, 1 h 30 or 1:30." in page
    assert 'value="New lock"' in page


def test_title_date_and_note_of_an_order_can_be_changed(client):
    order = make.make_order()
    url = reverse("workorders:order_edit", args=[order.number])
    send(client, url, title="Prepare for the choir", due_on="2026-05-01", note="")
    order.refresh_from_db()
    assert (order.title, f"{order.due_on}") == ("Prepare for the choir", "2026-05-01")


def test_an_order_with_required_work_open_cannot_be_called_ready_from_its_page(client):
    item = make.make_item()
    url = reverse("workorders:order_close", args=[item.order.number])
    assert "disabled" in client.get(url).content.decode()
    assert "required, and still open" in send(client, url).content.decode()
    item.order.refresh_from_db()
    assert item.order.state == "open"


def test_a_finished_order_is_called_ready_and_taken_up_again(client):
    order = make.make_order()
    send(client, reverse("workorders:order_close", args=[order.number]))
    order.refresh_from_db()
    assert order.state == "ready"
    send(client, reverse("workorders:order_reopen", args=[order.number]), reason="The tuning drifted.")
    order.refresh_from_db()
    assert order.state == "open"


def test_giving_up_required_work_is_refused_to_a_technician_on_the_page(client, owner):
    item = make.make_item()
    url = reverse("workorders:order_give_up", args=[item.order.number])
    page = send(client, url, reason="Sold as seen.").content.decode()
    assert "only the owner may give it up" in page
    client.force_login(owner)
    assert send(client, url, reason="Sold as seen.").status_code == 302


def test_orders_are_listed_open_ones_first_asked_for_closed_ones_too(client, technician):
    make.make_order(title="Open one")
    make.make_order(title="Closed one", state="ready", closed_at="2026-03-21T10:00Z", closed_by=technician)
    assert "Open one" in client.get("/bench/orders/").content.decode()
    assert "Closed one" in client.get("/bench/orders/?state=closed").content.decode()


def test_an_order_takes_the_same_queries_however_many_items_it_has(
    client, technician, django_assert_max_num_queries
):
    order = make.make_order()
    first = make.make_item(order=order, name="Clean out")
    counts = []
    for count in (1, 9):
        for _ in range(count):
            make.make_item(order=order, needs=[first], assigned_to=technician)
        client.get(order.get_absolute_url())
        with django_assert_max_num_queries(34) as asked:
            client.get(order.get_absolute_url())
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_the_list_of_orders_takes_the_same_queries_however_many_there_are(
    client, django_assert_max_num_queries
):
    counts = []
    for count in (1, 9):
        for _ in range(count):
            make.make_item(order=make.make_order())
        client.get("/bench/orders/")
        with django_assert_max_num_queries(14) as asked:
            client.get("/bench/orders/")
        counts.append(len(asked))
    assert counts[0] == counts[1]


def test_an_order_nobody_opened_is_not_found(client):
    assert client.get("/orders/W26-999/").status_code == 404
