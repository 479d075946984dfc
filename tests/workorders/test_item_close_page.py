import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from shop.middleware import FORM_LIMIT_BYTES
from tests import make
from tests.pictures import broken_upload, upload
from tests.workorders.pages import item_and_its_prerequisite, send
from workorders.models import TimeSpent

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def at_the_bench(client, technician):
    client.force_login(technician)


def close(client, item, **fields):
    fields = {"result": "All 85.", "done_on": "2026-03-22"} | fields
    return send(client, reverse("workorders:item_close", args=[item.pk]), **fields)


def state(item) -> str:
    item.refresh_from_db()
    return item.state


def figure_item(**fields):
    return make.make_item(
        name="Set the let-off",
        acceptance="figure",
        figure_name="let-off from the string",
        figure_unit="mm",
        figure_low=2,
        figure_high=3,
        **fields,
    )


def test_an_item_is_finished_and_its_time_written_down_in_one_go(client, technician):
    item = make.make_item()
    answer = close(client, item, minutes="1:20")
    assert answer.url == f"{item.order.get_absolute_url()}#item-{item.pk}"
    assert state(item) == "done"
    assert [(entry.minutes, entry.person) for entry in TimeSpent.objects.all()] == [(80, technician)]


def test_lubricate_the_action_first_is_said_and_the_button_is_off(client):
    weigh, _ = item_and_its_prerequisite()
    page = client.get(reverse("workorders:item_close", args=[weigh.pk])).content.decode()
    assert "Lubricate the action first." in page
    assert '<button class="button" type="submit" disabled>It is done</button>' in page


def test_a_form_sent_all_the_same_is_refused_and_keeps_what_was_typed(client):
    weigh, _ = item_and_its_prerequisite()
    page = close(client, weigh, result="Weighed twice.", minutes="90").content.decode()
    assert "Lubricate the action first." in page
    assert "Weighed twice." in page
    assert state(weigh) == "open"
    assert not TimeSpent.objects.exists()


def test_a_figure_outside_its_limits_is_refused_in_words(client):
    item = figure_item()
    page = close(client, item, figure="3.5").content.decode()
    assert "3.5 mm is too much: let-off from the string has to be 2 to 3 mm." in page
    assert state(item) == "open"


@pytest.mark.parametrize("figure", ["two", "1e400", "NaN", "99999999999", "2.00001"])
def test_a_figure_nobody_can_read_is_refused_beside_its_field(client, figure):
    item = figure_item()
    assert close(client, item, figure=figure).status_code == 200
    assert state(item) == "open"


def test_a_figure_may_be_typed_with_a_comma(client):
    item = figure_item()
    close(client, item, figure="2,5")
    assert (state(item), str(item.figure)) == ("done", "2.500")


def test_the_owner_is_offered_to_accept_it_with_a_reason_and_a_technician_is_not(client, owner):
    item = figure_item()
    address = reverse("workorders:item_close", args=[item.pk])
    assert "accepted all the same" not in client.get(address).content.decode()
    client.force_login(owner)
    assert "accepted all the same" in client.get(address).content.decode()
    close(client, item, figure="3.5", override_reason="Agreed with the owner of the piano.")
    assert (state(item), item.override_reason) == ("done", "Agreed with the owner of the piano.")


def test_a_technician_cannot_slip_a_reason_in(client):
    item = figure_item()
    close(client, item, figure="3.5", override_reason="Let me through.")
    assert state(item) == "open"


def test_a_photograph_sent_with_the_form_closes_the_item(client):
    item = make.make_item(acceptance="photo")
    close(client, item, new_photo=upload("after.jpg"))
    assert (state(item), item.photo.shot, item.photo.caption) == ("done", "after_work", item.name)


def test_a_photograph_outlives_a_refused_form_and_is_chosen(client):
    item = make.make_item(acceptance="photo")
    page = close(client, item, result="", new_photo=upload("after.jpg")).content.decode()
    photo = item.order.instrument.photos.get()
    assert f'value="{photo.pk}" id="photo-{photo.pk}" checked' in page
    close(client, item, photo=photo.pk)
    assert (state(item), item.photo) == ("done", photo)


def test_a_broken_photograph_is_named_and_nothing_closes(client):
    item = make.make_item(acceptance="photo")
    page = close(client, item, new_photo=broken_upload("torn.jpg")).content.decode()
    assert "torn.jpg" in page
    assert "Add a photograph after the work." in page
    assert state(item) == "open"


def test_a_photograph_that_is_no_photograph_cannot_be_chosen(client):
    item = make.make_item(acceptance="photo")
    make.make_photo(instrument=item.order.instrument)
    page = close(client, item, photo="9999-12-31").content.decode()
    assert "that is not among the choices" in page
    assert state(item) == "open"


def test_a_photograph_of_another_instrument_cannot_be_chosen(client):
    item = make.make_item(acceptance="photo")
    close(client, item, photo=make.make_photo(instrument=make.make_instrument()).pk)
    assert state(item) == "open"


def test_a_weigh_off_is_chosen_with_what_it_says_and_closes_the_item(client):
    instrument = make.make_instrument(touch_bass_g=50, touch_middle_g=50, touch_treble_g=50)
    item = make.make_item(order=make.make_order(instrument=instrument), acceptance="touch")
    weighing = make.make_weighing(instrument=instrument)
    page = client.get(reverse("workorders:item_close", args=[item.pk])).content.decode()
    assert "All 85 keys weighed are inside the curve." in page
    close(client, item, weighing=weighing.pk)
    assert (state(item), item.weighing) == ("done", weighing)


def test_a_weigh_off_with_keys_out_names_them_on_the_page(client):
    instrument = make.make_instrument(touch_bass_g=50, touch_middle_g=50, touch_treble_g=47.5)
    item = make.make_item(order=make.make_order(instrument=instrument), acceptance="touch")
    page = close(client, item, weighing=make.make_weighing(instrument=instrument).pk).content.decode()
    assert "A7 (50 g, 47.5 g wanted)" in page
    assert state(item) == "open"


def test_work_cannot_have_been_done_on_a_day_to_come(client):
    item = make.make_item()
    page = close(client, item, done_on="2999-01-01").content.decode()
    assert "Work cannot have been done on a day to come." in page
    assert state(item) == "open"


def test_the_second_to_finish_is_told_who_was_first(client, owner):
    item = make.make_item()
    close(client, item)
    client.force_login(owner)
    assert "Tobias Lind closed “Lubricate the action” on" in close(client, item).content.decode()


def test_the_same_form_sent_twice_closes_once_and_logs_once(client):
    item = make.make_item()
    address = reverse("workorders:item_close", args=[item.pk])
    fields = {"form_token": "b" * 32, "result": "Done.", "done_on": "2026-03-22", "minutes": "30"}
    assert client.post(address, fields).url == client.post(address, fields).url
    assert TimeSpent.objects.count() == 1


def test_a_weigh_off_page_takes_the_same_queries_at_one_and_four_weigh_offs(
    client, django_assert_num_queries
):
    instrument = make.make_instrument()
    item = make.make_item(order=make.make_order(instrument=instrument), acceptance="touch")
    address = reverse("workorders:item_close", args=[item.pk])
    for count in (1, 3):
        for _ in range(count):
            make.make_weighing(instrument=instrument)
        client.get(address)
        with django_assert_num_queries(11):
            client.get(address)


def test_a_photograph_larger_than_an_ordinary_form_is_read(client):
    item = make.make_item(acceptance="photo")
    large = SimpleUploadedFile("IMG_0001.jpg", b"\xff\xd8\xff" + bytes(FORM_LIMIT_BYTES))
    answer = close(client, item, new_photo=large)
    assert answer.status_code == 200
    assert "IMG_0001.jpg" in answer.content.decode()  # read, and refused for what it is
