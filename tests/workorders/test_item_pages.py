import pytest
from django.urls import reverse

from tests import make
from tests.workorders.pages import item_and_its_prerequisite, send
from workorders.actions.bench import set_rate
from workorders.actions.items import close_item
from workorders.models import PartUsed, TimeSpent

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def at_the_bench(client, technician):
    client.force_login(technician)


def url(name, item):
    return reverse(f"workorders:{name}", args=[item.pk])


def test_the_page_says_what_must_come_first_with_the_way_to_it(client):
    weigh, lubricate = item_and_its_prerequisite()
    page = client.get(weigh.get_absolute_url()).content.decode()
    assert "Lubricate the action first." in page
    assert f'href="{lubricate.get_absolute_url()}"' in page
    assert url("item_close", weigh) not in page


def test_an_override_stays_visible_on_the_page(client, owner):
    item = make.make_item(acceptance="photo")
    close_item(item=item, by=owner, on=make.A_DAY, result="Done.", override_reason="The camera was away.")
    page = client.get(item.get_absolute_url()).content.decode()
    assert "Accepted all the same by Olive Tarn:</strong> The camera was away." in page


def test_an_item_is_given_to_somebody(client, owner):
    item = make.make_item()
    send(client, url("item_assign", item), to=owner.pk)
    item.refresh_from_db()
    assert item.assigned_to == owner


def test_nobody_outside_the_bench_can_be_chosen(client, seller):
    item = make.make_item()
    assert send(client, url("item_assign", item), to=seller.pk).status_code == 200
    item.refresh_from_db()
    assert item.assigned_to is None


def test_what_must_come_first_is_chosen_on_a_page(client):
    tune = make.make_item(name="Tune")
    regulate = make.make_item(order=tune.order, name="Regulate")
    send(client, url("item_needs", tune), needs=[regulate.pk])
    assert list(tune.needs.all()) == [regulate]
    send(client, url("item_needs", tune))
    assert list(tune.needs.all()) == []


def test_a_number_that_no_item_can_have_is_not_there_to_come_first(client):
    page = send(client, url("item_needs", make.make_item()), needs="9" * 19).content.decode()
    assert "that is not among the choices" in page


def test_a_circle_is_refused_on_the_page_and_nothing_changes(client):
    weigh, lubricate = item_and_its_prerequisite()
    page = send(client, url("item_needs", lubricate), needs=[weigh.pk]).content.decode()
    assert "“Set the touch weight” already waits for “Lubricate the action”" in page
    assert list(lubricate.needs.all()) == []


def test_required_work_is_left_only_by_the_owner(client, owner):
    item = make.make_item()
    page = send(client, url("item_leave", item), reason="Not worth it.").content.decode()
    assert "only the owner may leave it" in page
    assert "Not worth it." in page
    client.force_login(owner)
    send(client, url("item_leave", item), reason="Not worth it.")
    item.refresh_from_db()
    assert item.state == "left"


def test_a_closed_item_is_opened_again_with_a_reason(client, technician):
    item = make.make_item()
    close_item(item=item, by=technician, on=make.A_DAY, result="Done.")
    send(client, url("item_reopen", item), reason="Still sluggish.")
    item.refresh_from_db()
    assert item.state == "open"


def test_time_is_written_down_at_the_rate_of_the_day(client, technician, owner):
    set_rate(per_hour_minor=4000, since=make.A_DAY, by=owner)
    item = make.make_item()
    send(client, url("item_time", item), minutes="1 h 30", on="2026-03-22", person=technician.pk)
    entry = TimeSpent.objects.get()
    assert (entry.minutes, entry.cost_minor, entry.recorded_by) == (90, 6000, technician)


def test_time_without_a_rate_is_shown_as_such(client, technician):
    item = make.make_item()
    send(client, url("item_time", item), minutes="45", on="2026-03-22", person=technician.pk)
    assert "no rate set" in client.get(item.get_absolute_url()).content.decode()


def test_time_on_a_day_to_come_is_refused_and_kept(client, technician):
    item = make.make_item()
    answer = send(client, url("item_time", item), minutes="45", on="2999-01-01", person=technician.pk)
    page = answer.content.decode()
    assert "That day is still to come." in page
    assert 'value="45"' in page
    assert not TimeSpent.objects.exists()


@pytest.mark.parametrize(
    ("minutes", "sentence"),
    [("1500", "1 to 1,440 minutes"), ("soon", "is not a time"), ("", "is still empty")],
)
def test_minutes_that_cannot_be_are_refused_beside_the_field(client, technician, minutes, sentence):
    item = make.make_item()
    answer = send(client, url("item_time", item), minutes=minutes, on="2026-03-22", person=technician.pk)
    assert sentence in answer.content.decode()


def test_a_part_is_written_down_and_taken_back(client):
    item = make.make_item()
    fields = {"name": "Centre pins", "quantity": "88", "cost_minor": "12.50", "on": "2026-03-22"}
    send(client, url("item_part", item), **fields)
    part = PartUsed.objects.get()
    assert part.cost_minor == 1250
    client.post(reverse("workorders:part_take_back", args=[part.pk]))
    assert [entry.cost_minor for entry in PartUsed.objects.all()] == [1250, -1250]


def test_a_part_without_a_cost_says_so(client):
    item = make.make_item()
    send(client, url("item_part", item), name="Felt", quantity="0.5", cost_minor="", on="2026-03-22")
    assert "no cost given" in client.get(item.get_absolute_url()).content.decode()


@pytest.mark.parametrize("quantity", ["0", "-1", "many", "1e999"])
def test_a_quantity_that_cannot_be_is_refused(client, quantity):
    item = make.make_item()
    answer = send(client, url("item_part", item), name="Felt", quantity=quantity, on="2026-03-22")
    assert answer.status_code == 200
    assert not PartUsed.objects.exists()


def test_a_line_taken_back_twice_is_said(client, technician):
    item = make.make_item()
    send(client, url("item_time", item), minutes="45", on="2026-03-22", person=technician.pk)
    address = reverse("workorders:time_take_back", args=[TimeSpent.objects.get().pk])
    client.post(address)
    page = client.post(address, follow=True).content.decode()
    assert "This line has been taken back already." in page
    assert TimeSpent.objects.count() == 2


@pytest.mark.parametrize("count", [1, 10])
def test_an_item_takes_the_same_queries_however_much_hangs_on_it(
    count, client, technician, django_assert_num_queries
):
    item = make.make_item()
    for _ in range(count):
        make.make_item(order=item.order, needs=[item])
        send(client, url("item_time", item), minutes="45", on="2026-03-22", person=technician.pk)
        send(client, url("item_part", item), name="Felt", quantity="1", on="2026-03-22")
    client.get(item.get_absolute_url())
    with django_assert_num_queries(18):
        client.get(item.get_absolute_url())


def test_keys_time_and_note_of_an_item_can_be_said(client):
    item = make.make_item()
    send(
        client,
        url("item_edit", item),
        keys="C4, all sharps",
        usual_minutes="2 h",
        note="Worst on top.",
    )
    item.refresh_from_db()
    assert (item.keys, item.usual_minutes, item.note) == ("C4, all sharps", 120, "Worst on top.")


def test_keys_that_the_piano_has_not_are_refused_beside_the_field(client):
    item = make.make_item()
    page = send(client, url("item_edit", item), keys="C8", usual_minutes="60", note="Kept").content.decode()
    assert "There is no C8 on this keyboard" in page
    assert "Kept" in page


def test_a_technician_cannot_make_required_work_optional(client, owner):
    item = make.make_item()
    fields = {"keys": "", "usual_minutes": "60", "note": ""}
    send(client, url("item_edit", item), **fields)
    item.refresh_from_db()
    assert item.is_required
    client.force_login(owner)
    send(client, url("item_edit", item), **fields)
    item.refresh_from_db()
    assert not item.is_required
