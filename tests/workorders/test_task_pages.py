import pytest

from tests import make
from tests.workorders.pages import send
from workorders.actions.tasks import load_tasks
from workorders.models import BenchRate, Task

pytestmark = pytest.mark.django_db
FIELDS = {
    "name": "Polish the pedals",
    "rank": "119",
    "usual_minutes": "30",
    "done_when": "they shine",
    "acceptance": "note",
    "in_use": "on",
}


@pytest.fixture(autouse=True)
def as_owner(client, owner):
    client.force_login(owner)


def add(client, **fields):
    return send(client, "/bench/tasks/new/", **(FIELDS | fields))


def test_the_owner_adds_a_task_of_the_shop_s_own(client):
    clean = make.make_task(code="clean-out", name="Clean out")
    add(client, needs=[clean.pk])
    task = Task.objects.get(code="polish-the-pedals")
    assert (task.usual_minutes, task.is_as_shipped, list(task.needs.all())) == (30, False, [clean])


def test_a_task_that_is_edited_is_the_shop_s_own_from_then_on(client):
    load_tasks()
    fields = FIELDS | {"name": "Voice", "usual_minutes": "2 h"}
    send(client, "/bench/tasks/voice/", **fields)
    load_tasks()
    assert Task.objects.get(code="voice").usual_minutes == 120


def test_tasks_that_would_wait_for_one_another_are_refused(client):
    first = make.make_task(code="first", name="First")
    second = make.make_task(code="second", name="Second")
    second.needs.add(first)
    page = send(client, "/bench/tasks/first/", **(FIELDS | {"name": "First", "needs": [second.pk]}))
    assert "These would wait for one another, so none could start" in page.content.decode()
    assert list(first.needs.all()) == []


def test_a_figure_asks_for_its_name_unit_and_a_limit(client):
    page = add(client, acceptance="figure").content.decode()
    assert "Say what is measured" in page
    assert "Give the unit" in page
    assert "Give at least one limit." in page
    assert 'value="Polish the pedals"' in page


def test_limits_the_wrong_way_round_are_refused(client):
    figure = {"acceptance": "figure", "figure_name": "dip", "figure_unit": "mm"}
    page = add(client, figure_low="11", figure_high="9", **figure).content.decode()
    assert "The upper limit lies below the lower one." in page


def test_figures_typed_beside_another_acceptance_are_not_kept(client):
    add(client, figure_name="dip", figure_low="9")
    task = Task.objects.get(code="polish-the-pedals")
    assert (task.figure_name, task.figure_low) == ("", None)


@pytest.mark.parametrize("name", ["Polish the pedals", "New", "—"])
def test_a_name_that_gives_no_code_of_its_own_is_refused(client, name):
    make.make_task(code="polish-the-pedals")
    assert "choose another name" in add(client, name=name).content.decode()


def test_a_retired_task_is_listed_and_no_longer_offered(client):
    make.make_task(name="Lubricate the action", in_use=False)
    assert "not offered" in client.get("/bench/tasks/").content.decode()
    instrument = make.make_instrument()
    offered = client.get(f"/stock/{instrument.stock_number}/orders/open/").content.decode()
    assert "Lubricate the action" not in offered


def test_the_library_takes_the_same_queries_however_long_it_is(client, django_assert_num_queries):
    make.make_task(code="first")
    client.get("/bench/tasks/")
    with django_assert_num_queries(7):
        client.get("/bench/tasks/")
    load_tasks()
    with django_assert_num_queries(7):
        client.get("/bench/tasks/")


def test_a_technician_reads_the_library_and_may_not_change_it(client, technician):
    make.make_task(code="first", name="First")
    client.force_login(technician)
    assert "/bench/tasks/first/" not in client.get("/bench/tasks/").content.decode()
    assert send(client, "/bench/tasks/first/", **FIELDS).status_code == 403


def test_the_owner_sets_a_rate(client, technician):
    send(client, "/bench/rates/", person=technician.pk, per_hour_minor="38.50", since="2026-03-21")
    rate = BenchRate.objects.get()
    assert (rate.person, rate.per_hour_minor) == (technician, 3850)


def test_a_technician_does_not_see_the_rates(client, technician):
    client.force_login(technician)
    assert client.get("/bench/rates/").status_code == 403
