"""Items made for marked keys: closed only when each key was looked at again, which clears it."""

import pytest
from django.urls import reverse

from instruments.actions.key_marks import clear_marks, mark_keys
from instruments.models import KeyMark, KeyMarkClearing
from instruments.problems import Blocked
from tests import make
from tests.pictures import upload
from workorders.actions.items import close_item, reopen_item
from workorders.models import ItemKeyMark

pytestmark = pytest.mark.django_db
ON = make.A_DAY


@pytest.fixture
def item(technician):
    """An item for three keys that stick."""
    order = make.make_order(instrument=make.make_instrument(by=technician), by=technician)
    return with_marks(make.make_item(order=order, name="Ease the keys"), technician, (40, 41, 52))


def with_marks(item, by, keys, fault="sticks"):
    marks = mark_keys(instrument=item.order.instrument, keys=keys, fault=fault, by=by, on=ON).new
    ItemKeyMark.objects.bulk_create(ItemKeyMark(item=item, mark=mark) for mark in marks)
    return item


def marks_of(item) -> list[KeyMark]:
    return list(KeyMark.objects.open().filter(item_links__item=item))


def close(item, by, rechecked, **more):
    did = "Eased at the balance rail."
    return close_item(item=item, by=by, on=ON, result=did, rechecked=rechecked, **more)


def test_an_item_stays_open_while_a_key_was_not_looked_at_again(item, technician):
    with pytest.raises(Blocked, match=r"Sticks, not looked at again: C♯4, C5\. Each key has to be right\."):
        close(item, technician, marks_of(item)[:1])
    assert not KeyMarkClearing.objects.exists()


def test_closing_clears_every_key_by_work_and_says_what_was_found(item, technician):
    close(item, technician, marks_of(item))
    cleared = KeyMarkClearing.objects.all()
    assert [row.mark.key for row in cleared] == [40, 41, 52]
    assert {(row.how, row.found, row.cleared_by, row.cleared_on) for row in cleared} == {
        ("work", "Eased at the balance rail.", technician, ON)
    }
    assert cleared[0].note == f"“Ease the keys”, {item.order.number}"


def test_a_key_cleared_on_a_second_look_is_not_asked_for(item, technician):
    clear_marks(marks=marks_of(item)[:2], by=technician, on=ON, found="right")
    close(item, technician, marks_of(item))
    assert KeyMarkClearing.objects.filter(how="work").count() == 1


def test_the_tasks_own_proof_is_asked_for_as_well(item, technician):
    item.acceptance = "photo"
    item.save()
    with pytest.raises(Blocked) as refused:
        close(item, technician, ())
    assert len(refused.value.sentences) == 2


def test_the_owner_may_pass_over_it_and_the_marks_stay_open(item, owner):
    closed = close(item, owner, (), override_reason="Agreed with the customer.")
    assert closed.state == "done"
    assert len(marks_of(item)) == 3


def test_marks_of_another_item_are_not_cleared_with_this_one(item, technician):
    other = with_marks(make.make_item(order=item.order), technician, (60,))
    close(item, technician, [*marks_of(item), *marks_of(other)])
    assert [mark.key for mark in marks_of(other)] == [60]


def test_opened_again_its_keys_are_marked_again(item, technician):
    close(item, technician, marks_of(item))
    item.refresh_from_db()
    reopen_item(item=item, reason="It sticks in the evening.", by=technician, on=ON)
    assert [mark.key for mark in marks_of(item)] == [40, 41, 52]
    item.refresh_from_db()
    with pytest.raises(Blocked, match="not looked at again"):
        close(item, technician, ())


@pytest.fixture
def page(client, technician, item):
    client.force_login(technician)
    return reverse("workorders:item_close", args=[item.pk])


def send(client, page, **fields):
    fields = {"form_token": "a" * 32, "result": "Eased.", "done_on": "2026-03-22"} | fields
    return client.post(page, fields)


def test_the_page_lists_each_key_and_takes_ticks_and_typed_keys(client, page, item):
    shown = client.get(page).content.decode()
    marks = marks_of(item)
    assert all(f'value="{mark.pk}" id="recheck-{mark.pk}"' in shown for mark in marks)
    assert send(client, page, rechecked=[marks[0].pk], rechecked_keys="C#4, C5").status_code == 302
    item.refresh_from_db()
    assert item.state == "done"


def test_a_refused_page_keeps_its_ticks_and_names_what_is_missing(client, page, item):
    mark = marks_of(item)[0]
    shown = send(client, page, rechecked=[mark.pk]).content.decode()
    assert "Sticks, not looked at again: C♯4, C5." in shown
    assert f'value="{mark.pk}" id="recheck-{mark.pk}" checked' in shown


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"rechecked": ["9" * 30]}, "is not among the choices"),
        ({"rechecked_keys": "H9"}, "is not a key"),
    ],
)
def test_nonsense_is_refused_beside_its_field(client, page, item, fields, sentence):
    assert sentence in send(client, page, **fields).content.decode()
    assert len(marks_of(item)) == 3


def test_a_photograph_and_keys_close_together(client, page, item):
    item.acceptance = "photo"
    item.save()
    send(client, page, rechecked_keys="all", new_photo=upload("after.jpg"))
    item.refresh_from_db()
    assert (item.state, marks_of(item)) == ("done", [])


def test_the_item_page_says_why_it_is_done_and_what_cleared_it(client, page, item):
    address = item.get_absolute_url()
    assert "C4: sticks." in client.get(address).content.decode()
    send(client, page, rechecked_keys="all")
    assert "Cleared by work: Eased." in client.get(address).content.decode()
