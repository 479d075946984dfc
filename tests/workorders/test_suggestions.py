import pytest
from django.core.checks import run_checks
from django.urls import reverse

from instruments.key_faults import KeyFault
from tests import make
from workorders.actions.suggestions import EVERYTHING, load_suggestions, suggest_task
from workorders.actions.tasks import load_tasks
from workorders.models import Task, TaskSuggestion

pytestmark = pytest.mark.django_db


@pytest.fixture
def library():
    load_tasks()
    load_suggestions()


def suggested(**place) -> str:
    return TaskSuggestion.objects.get(**place).task.code


def test_every_fault_of_a_part_or_key_has_its_line_and_the_file_has_no_gap(library):
    assert TaskSuggestion.objects.count() == len(EVERYTHING)
    for fault in KeyFault:
        assert suggested(fault=fault)
    assert [error for error in run_checks() if error.id.startswith("workorders.")] == []


@pytest.mark.parametrize(
    ("place", "code"),
    [
        ({"fault": "sticks"}, "ease-keys"),
        ({"fault": "broken"}, "mend-broken-keys"),
        ({"part": "action", "condition": "replace"}, "renew-butt-leathers"),
        ({"fault": "slow_return"}, "recentre"),
        ({"part": "pests", "condition": "repair"}, "clear-pests"),
        ({"part": "hammers", "condition": "replace"}, "fit-hammers"),
    ],
)
def test_a_fault_finds_its_task(library, place, code):
    assert suggested(**place) == code


def test_loading_twice_changes_nothing_and_keeps_what_the_shop_chose(library, owner):
    suggest_task(
        suggestion=TaskSuggestion.objects.get(fault="sticks"), task=Task.objects.get(code="voice"), by=owner
    )
    assert load_suggestions() == []
    assert suggested(fault="sticks") == "voice"


def test_a_suggestion_as_shipped_is_brought_up_to_the_file(library):
    TaskSuggestion.objects.filter(fault="sticks").update(task=None)
    assert [str(row) for row in load_suggestions()] == ["Sticks"]


def test_the_owner_changes_a_suggestion_on_its_page(client, library, owner):
    client.force_login(owner)
    row = TaskSuggestion.objects.get(part="case", condition="attend")
    answer = client.post(row.get_absolute_url(), {"form_token": "a" * 32, "task": "french-polish"})
    assert answer.url == f"{reverse('workorders:suggestion_list')}#suggestion-{row.pk}"
    assert suggested(part="case", condition="attend") == "french-polish"
    assert "“French polish” is suggested" in row.history.first().history_change_reason


def test_a_suggestion_can_be_none_and_an_unknown_task_is_refused(client, library, owner):
    client.force_login(owner)
    row = TaskSuggestion.objects.get(fault="buzzes")
    page = client.post(row.get_absolute_url(), {"form_token": "a" * 32, "task": "sing"})
    assert "that is not among the choices" in page.content.decode()
    client.post(row.get_absolute_url(), {"form_token": "b" * 32, "task": ""})
    row.refresh_from_db()
    assert row.task is None


def test_the_list_takes_the_same_queries_at_one_and_all_lines(client, technician, django_assert_num_queries):
    client.force_login(technician)
    make.make_suggestion(task=make.make_task())
    client.get(reverse("workorders:suggestion_list"))
    with django_assert_num_queries(5):
        client.get(reverse("workorders:suggestion_list"))
    load_tasks()
    load_suggestions()
    with django_assert_num_queries(5):
        client.get(reverse("workorders:suggestion_list"))
