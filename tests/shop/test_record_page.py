import pytest
from django.urls import reverse

from instruments.actions.history import save_tracked
from tests import make

pytestmark = pytest.mark.django_db


def page_of(client, user, instrument, query="") -> str:
    client.force_login(user)
    return client.get(reverse("shop:record_page", args=[instrument.stock_number]) + query).content.decode()


def corrected(instrument, by, **fields):
    for name, value in fields.items():
        setattr(instrument, name, value)
    save_tracked(instrument, by=by, why="Read again under a lamp")
    return instrument


def test_a_corrected_field_stands_there_old_and_new_with_who_and_why(client, owner):
    page = page_of(client, owner, corrected(make.make_instrument(serial="31441"), owner, serial="31447"))
    assert "<del>31441</del>" in page
    assert "<ins>31447</ins>" in page
    assert "Olive Tarn" in page
    assert "Read again under a lamp" in page


def test_choices_dates_and_nothing_are_told_in_words(client, owner):
    instrument = corrected(make.make_instrument(), owner, made="1912~", case_wood="burr_walnut")
    page = page_of(client, owner, instrument)
    assert "<ins>about 1912</ins>" in page
    assert "<ins>Burr walnut</ins>" in page
    assert "<del>nothing</del>" in page


def test_a_person_at_work_is_told_by_name(client, owner, technician):
    item = make.make_item()
    item.assigned_to = technician
    save_tracked(item, by=owner, why="Given to Tobias")
    assert "<ins>Tobias Lind</ins>" in page_of(client, owner, item.order.instrument)


def test_money_is_told_as_money(client, owner):
    trial = make.make_trial()
    trial.price_minor = 190_000
    save_tracked(trial, by=owner, why="Price agreed anew")
    assert "£1,900.00" in page_of(client, owner, trial.instrument)


def test_people_are_kept_from_those_whose_work_does_not_need_them(client, technician):
    instrument = make.make_running_trial(person=make.make_person(name="Canary Customer")).instrument
    page = page_of(client, technician, instrument)
    assert "Canary" not in page
    assert "Trial" not in page


def test_another_instruments_changes_are_not_told(client, owner):
    other = corrected(make.make_instrument(), owner, model="Model Nine")
    assert "Model Nine" not in page_of(client, owner, make.make_instrument())
    assert "Model Nine" in page_of(client, owner, other)


def test_hostile_words_are_printed_and_not_obeyed(client, owner):
    instrument = corrected(make.make_instrument(), owner, model="<script>alert(1)</script>")
    assert "<script>alert" not in page_of(client, owner, instrument)


def test_a_long_history_comes_in_pages(client, owner):
    instrument = make.make_instrument()
    for number in range(51):
        corrected(instrument, owner, model=f"No. {number} of many")
    assert "<ins>No. 0 of many</ins>" not in page_of(client, owner, instrument)
    assert "<ins>No. 0 of many</ins>" in page_of(client, owner, instrument, "?page=2")


def test_a_page_of_many_changes_takes_no_more_queries(client, owner, django_assert_max_num_queries):
    instrument = corrected(make.make_instrument(), owner, model="One")
    page_of(client, owner, instrument)
    address = reverse("shop:record_page", args=[instrument.stock_number])
    with django_assert_max_num_queries(14) as before:
        client.get(address)
    for number in range(8):
        corrected(instrument, owner, model=f"Next {number}")
    with django_assert_max_num_queries(14) as after:
        client.get(address)
    assert len(after) <= len(before)
