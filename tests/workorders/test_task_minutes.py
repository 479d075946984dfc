"""The usual minutes learn from finished jobs."""

import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.bench import log_time, take_back_time
from workorders.actions.items import close_item
from workorders.actions.learning import use_median
from workorders.actions.orders import add_items
from workorders.actions.tasks import load_tasks
from workorders.learning import history_of
from workorders.models import Task

pytestmark = pytest.mark.django_db
PAGE = "/bench/tasks/minutes/"


@pytest.fixture
def task():
    return make.make_task(usual_minutes=90)


def finish(task, by, *minutes: int):
    """One job for each of these times."""
    for each in minutes:
        item = make.make_item(task=task, name=task.name)
        if each:
            log_time(item=item, person=by, minutes=each, by=by, on=make.A_DAY)
        close_item(item=item, by=by, on=make.A_DAY, result="Done.")


def test_finished_jobs_are_counted_by_the_time_written_down(task, technician):
    finish(task, technician, 60, 0, 120, 90)
    open_item = make.make_item(task=task)
    log_time(item=open_item, person=technician, minutes=900, by=technician, on=make.A_DAY)
    figures = history_of(task).figures
    assert (figures.count, figures.usual) == (3, 90)


def test_time_taken_back_does_not_count(task, technician):
    item = make.make_item(task=task)
    entry = log_time(item=item, person=technician, minutes=600, by=technician, on=make.A_DAY)
    take_back_time(entry=entry, by=technician)
    close_item(item=item, by=technician, on=make.A_DAY, result="Done.")
    assert history_of(task) is None


def test_one_press_takes_the_median_and_says_from_how_many(client, owner, technician, task):
    finish(task, technician, 100, 110, 150)
    client.force_login(owner)
    client.post(f"/bench/tasks/{task.code}/minutes/", {"seen": "110"})
    task.refresh_from_db()
    assert (task.usual_minutes, task.is_as_shipped) == (110, False)
    assert task.minutes_source.startswith("median of 3 finished jobs of our own")
    change = task.history.first()
    assert (change.history_user, change.history_change_reason) == (
        owner,
        "Usual minutes of “Lubricate the action” from 1 h 30 to 1 h 50: the median of 3 finished jobs",
    )


def test_two_jobs_are_too_few(owner, technician, task):
    finish(task, technician, 100, 110)
    with pytest.raises(Blocked, match="3 or more finished jobs say what is usual; 2 finished jobs have"):
        use_median(task=task, seen=105, by=owner, on=make.A_DAY)


def test_a_median_that_changed_meanwhile_is_not_taken_unseen(client, owner, technician, task):
    finish(task, technician, 100, 110, 150)
    client.force_login(owner)
    answer = client.post(f"/bench/tasks/{task.code}/minutes/", {"seen": "100"}, follow=True)
    assert "Meanwhile the median is 1 h 50." in answer.content.decode()
    assert Task.objects.get(pk=task.pk).usual_minutes == 90


@pytest.mark.parametrize("seen", ["", "many", "-3", "9" * 30])
def test_a_press_without_a_right_median_changes_nothing(client, owner, technician, task, seen):
    finish(task, technician, 100, 110, 150)
    client.force_login(owner)
    assert client.post(f"/bench/tasks/{task.code}/minutes/", {"seen": seen}).status_code == 302
    assert Task.objects.get(pk=task.pk).usual_minutes == 90


def test_what_was_learnt_is_not_undone_by_the_library_and_holds_for_new_orders_only(owner, technician):
    load_tasks()
    task, order = Task.objects.get(code="ease-keys"), make.make_order()
    (before,) = add_items(order=order, tasks=[task], by=owner, on=make.A_DAY)
    finish(task, technician, 31, 32, 33)
    use_median(task=task, seen=32, by=owner, on=make.A_DAY)
    load_tasks()
    task.refresh_from_db()
    before.refresh_from_db()
    (after,) = add_items(order=make.make_order(), tasks=[task], by=owner, on=make.A_DAY)
    assert (before.usual_minutes, after.usual_minutes) == (120, 32)


def test_the_page_shows_median_spread_and_what_is_unusual(client, technician, task):
    finish(task, technician, 60, 80, 90, 100, 300)
    client.force_login(technician)
    page = client.get(PAGE).content.decode()
    assert "1 h 20 and 1 h 40" in page and ">5 h</a>" in page
    assert "Use 1 h 30" not in page


def test_the_task_s_own_page_shows_its_figures(client, owner, technician, task):
    finish(task, technician, 100, 110, 150)
    client.force_login(owner)
    page = client.get(task.get_absolute_url()).content.decode()
    assert "3 finished jobs: median 1 h 50, half of them between 1 h 45 and 2 h 10." in page


def test_the_page_takes_the_same_queries_however_many_jobs(
    client, technician, task, django_assert_max_num_queries
):
    client.force_login(technician)
    counts = []
    for _ in range(2):
        finish(task, technician, 60, 90)
        client.get(PAGE)
        with django_assert_max_num_queries(8) as asked:
            client.get(PAGE)
        counts.append(len(asked))
    assert counts[0] == counts[1]
