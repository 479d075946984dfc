import pytest
from django.urls import reverse

from instruments.actions.findings import record_finding
from instruments.actions.key_marks import mark_keys
from tests import make
from tests.workorders.small_library import make_library
from workorders.actions.orders import open_order
from workorders.models import TaskSuggestion, WorkItem, WorkOrder

pytestmark = pytest.mark.django_db
ON = make.A_DAY


@pytest.fixture
def piano(client, technician):
    client.force_login(technician)
    make_library()
    piano = make.make_instrument(by=technician)
    record_finding(instrument=piano, part="hammers", condition="repair", by=technician, on=ON)
    mark_keys(instrument=piano, keys=(40, 41), fault="sticks", by=technician, on=ON)
    return piano


def address(piano) -> str:
    return reverse("workorders:findings_to_work", args=[piano.stock_number])


def codes(piano) -> tuple[str, str]:
    return f"finding-{piano.findings.get().pk}", "sticks-free"


def send(client, piano, **fields):
    finding, sticks = codes(piano)
    fields = {
        "form_token": "a" * 32,
        "title": "Found",
        f"take-{finding}": "on",
        f"task-{finding}": "reface-hammers",
        f"take-{sticks}": "on",
        f"task-{sticks}": "ease-keys",
    } | fields
    return client.post(address(piano), {name: value for name, value in fields.items() if value})


def test_the_page_stands_ready_to_be_sent_in_one_press(client, piano):
    page = client.get(address(piano)).content.decode()
    finding, sticks = codes(piano)
    for code, task in ((finding, "reface-hammers"), (sticks, "ease-keys")):
        assert f'name="take-{code}" id="id_take-{code}" checked' in page
        assert f'value="{task}" selected' in page
    assert "Prove the frame" in page


def test_one_press_opens_an_order_with_items_and_keys(client, piano):
    answer = send(client, piano, proofs=["check-frame", "test-pins"])
    order = WorkOrder.objects.get()
    items = order.items.order_by("rank")
    assert [item.task.code for item in items] == ["check-frame", "test-pins", "ease-keys", "reface-hammers"]
    assert items[2].keys == "C4, C♯4"
    assert answer.url == f"{order.get_absolute_url()}#item-{items[2].pk}"
    page = client.get(answer.url).content.decode()
    assert f"4 items added to {order.number}; 2 took on what was found." in page


def test_it_is_added_to_the_order_that_is_open(client, piano, technician):
    order = open_order(instrument=piano, title="Prepare", by=technician, on=ON)
    assert "Prepare, " in client.get(address(piano)).content.decode()
    send(client, piano, order=order.number)
    assert WorkOrder.objects.count() == 1
    assert order.items.count() == 2


def test_what_is_work_already_shows_its_item_and_cannot_be_taken_again(client, piano):
    send(client, piano)
    page = client.get(address(piano)).content.decode()
    assert "Everything that was found is work already." in page
    assert "Reface the hammers</a>" in page
    assert send(client, piano, form_token="b" * 32).status_code == 200
    assert WorkItem.objects.count() == 2


def test_what_is_at_work_stands_apart_below_what_is_still_free(client, piano):
    send(client, piano, **{f"take-{codes(piano)[1]}": ""})
    free, at_work = client.get(address(piano)).content.decode().split("Already at work</h2>")
    assert "take-sticks-free" in free
    assert "Reface the hammers</a>" not in free
    assert "Reface the hammers</a>" in at_work
    assert "take-" not in at_work


def test_without_work_there_is_no_heading_for_it(client, piano):
    assert "Already at work" not in client.get(address(piano)).content.decode()


def test_the_same_form_sent_twice_answers_alike_and_works_once(client, piano):
    assert send(client, piano).url == send(client, piano).url
    assert WorkItem.objects.count() == 2


def test_what_is_not_ticked_is_left_and_another_task_may_be_chosen(client, piano):
    finding, sticks = codes(piano)
    send(client, piano, **{f"take-{finding}": "", f"task-{sticks}": "rebush-keys"})
    assert [item.task.code for item in WorkItem.objects.all()] == ["rebush-keys"]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"task-sticks-free": ""}, "Choose the task for it."),
        ({"task-sticks-free": "sing"}, "is not among the choices"),
        ({"title": ""}, "Give the new order a title."),
        ({"title": "x" * 121}, "at most 120 characters"),
        ({"proofs": "sing"}, "is not among the choices"),
    ],
)
def test_what_cannot_be_is_said_beside_its_field_and_nothing_is_made(client, piano, fields, sentence):
    assert sentence in send(client, piano, **fields).content.decode()
    assert not WorkOrder.objects.exists()


def test_nothing_ticked_is_said(client, piano):
    finding, sticks = codes(piano)
    page = send(client, piano, **{f"take-{finding}": "", f"take-{sticks}": ""}).content.decode()
    assert "Tick at least one fault." in page


def test_an_order_of_another_instrument_cannot_be_chosen(client, piano):
    other = make.make_order()
    make.make_order(instrument=piano)
    assert "is not among the choices" in send(client, piano, order=other.number).content.decode()


def test_a_fault_without_a_suggested_task_is_offered_unticked(client, piano):
    TaskSuggestion.objects.filter(fault="sticks").update(task=None)
    page = client.get(address(piano)).content.decode()
    assert 'name="take-sticks-free" id="id_take-sticks-free">' in page


def test_without_faults_the_page_says_what_to_do(client, piano):
    page = client.get(address(make.make_instrument())).content.decode()
    assert "Nothing to turn into work." in page
    assert "Walk round it" in page


def test_the_page_takes_the_same_queries_at_two_and_many_faults(
    client, piano, technician, django_assert_num_queries
):
    client.get(address(piano))
    with django_assert_num_queries(14):
        client.get(address(piano))
    for part in ("case", "pins", "frame", "damp"):
        record_finding(instrument=piano, part=part, condition="repair", by=technician, on=ON)
    mark_keys(instrument=piano, keys=range(1, 50), fault="blocks", by=technician, on=ON)
    with django_assert_num_queries(14):
        client.get(address(piano))
