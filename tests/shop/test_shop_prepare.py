from io import StringIO

import pytest
from django.contrib.auth.models import Group
from django.core.management import call_command

from workorders.actions.tasks import save_task
from workorders.models import Task


def prepare() -> str:
    told = StringIO()
    call_command("prepare_shop", stdout=told)
    return told.getvalue()


@pytest.fixture
def prepared(db):
    return prepare()


def test_it_loads_the_four_roles(prepared):
    assert {group.name for group in Group.objects.all()} == {"Buyer", "Technician", "Sales", "Owner"}


def test_it_loads_the_task_library(prepared):
    assert Task.objects.count() >= 25


def test_a_second_time_it_changes_nothing(prepared):
    assert f"0 of {Task.objects.count()} tasks" in prepare()


def test_a_task_that_the_shop_edited_stays_as_the_shop_wants_it(prepared, owner):
    task = Task.objects.get(code="ease-keys")
    task.usual_minutes = 77
    save_task(task=task, needs=list(task.needs.all()), by=owner)
    prepare()
    assert Task.objects.get(code="ease-keys").usual_minutes == 77
