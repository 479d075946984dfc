"""Ready-made sets are the shop's own: listed, added, changed, and used when an order is opened."""

import pytest
from django.urls import reverse

from tests import make
from tests.workorders.pages import send
from workorders.models import TaskSet, WorkOrder

pytestmark = pytest.mark.django_db


@pytest.fixture
def voice(client, owner):
    client.force_login(owner)
    return make.make_task(code="voice", name="Voice", rank=140)


def test_a_set_is_added_and_opens_an_order(client, owner, voice):
    send(client, reverse("workorders:task_set_add"), name="After a house move", tasks=[voice.pk], in_use="on")
    added = TaskSet.objects.get()
    assert (added.code, added.is_as_shipped) == ("after-a-house-move", False)
    assert added.history.get().history_change_reason == "Set “After a house move” added: Voice"
    instrument = make.make_instrument()
    send(client, reverse("workorders:order_open", args=[instrument.stock_number]), sets=[added.code])
    assert WorkOrder.objects.get().items.get().name == "Voice"


def test_a_set_is_changed_and_may_be_kept_back(client, voice):
    task_set = make.make_task_set(tasks=[voice])
    send(client, task_set.get_absolute_url(), name="Tone", tasks=[voice.pk])
    task_set.refresh_from_db()
    assert (task_set.code, task_set.name, task_set.in_use) == ("refresh", "Tone", False)
    assert "not offered" in client.get(reverse("workorders:task_set_list")).content.decode()


def test_a_set_without_a_task_or_of_a_name_there_is_is_refused_and_kept(client, voice):
    make.make_task_set(tasks=[voice], name="Refresh")
    page = send(client, reverse("workorders:task_set_add"), name="Refresh", note="Ours").content.decode()
    assert "There is a set of that name already; choose another name." in page
    assert 'value="Ours"' in page and TaskSet.objects.count() == 1


def test_a_task_of_pitch_takes_its_limits_and_both_of_drift(client, voice):
    fields = {
        "name": "Settle",
        "rank": 185,
        "usual_minutes": "60",
        "done_when": "it stays",
        "acceptance": "pitch",
        "figure_low": "-5",
        "figure_high": "5",
        "in_use": "on",
    }
    page = send(client, reverse("workorders:task_add"), drift_cents="3", **fields).content.decode()
    assert "Drift needs both: how many cents, over how many days." in page
    send(client, reverse("workorders:task_add"), drift_cents="3", drift_days="14", concern="work", **fields)
    task = type(voice).objects.get(code="settle")
    assert (task.figure_unit, task.figure_name, task.drift_days) == (
        "cents",
        "A4 against the pitch agreed",
        14,
    )
