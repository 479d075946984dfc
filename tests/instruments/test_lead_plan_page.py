from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.actions.leads import record_moved_leads
from instruments.actions.weighing import record_weighing
from instruments.leading import lead_plan_of
from instruments.models import KeyLead, KeyLeadTakenOut, LeadSize
from instruments.problems import Blocked
from tests import make
from tests.reading import Reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench(client, technician):
    client.force_login(technician)
    return client


@pytest.fixture
def heavy(technician):
    """C4 heavy by weight, C#4 by friction, D4 inside; the lever measured, one lead in the drawer."""
    instrument = make.make_instrument()
    make.make_lead_size()
    make.make_lever(instrument=instrument)
    readings = [
        (40, Decimal(57), Decimal(31)),
        (41, Decimal(60), Decimal(22)),
        (42, Decimal(50), Decimal(26)),
    ]
    record_weighing(instrument=instrument, readings=readings, by=technician, on=make.A_DAY, stage="as_found")
    return instrument


def page(client, instrument):
    return client.get(reverse("instruments:lead_plan", args=[instrument.stock_number]))


def send(client, name, instrument, *more, follow=True, **fields):
    address = reverse(f"instruments:{name}", args=[instrument.stock_number, *more])
    return client.post(address, {"form_token": uuid4().hex} | fields, follow=follow)


def moved(client, instrument, *keys, token=None):
    weighing = instrument.weighings.first()
    fields = {"key": [str(key) for key in keys], "form_token": token or uuid4().hex}
    return send(client, "leads_moved", instrument, weighing.pk, **fields)


def test_the_plan_says_what_to_do_at_each_key_that_is_out(bench, heavy):
    words = page(bench, heavy).content.decode()
    assert "Half-inch (14 g) at 107 mm" in words and "57 / 31 g" in words and "50.2 / 24.2 g" in words
    assert "C♯4: friction is 19 g" in words and "no lead yet" in words
    assert "D4:" not in words and ">D4<" not in words and "Lead is a poison" in words


def test_without_a_weigh_off_the_page_says_so(bench):
    assert "Nothing has been weighed yet." in page(bench, make.make_instrument()).content.decode()


def test_without_a_lever_the_page_asks_for_it(bench, technician):
    instrument = make.make_instrument()
    make.make_weighing(instrument=instrument, by=technician)
    assert "Measure the lever" in page(bench, instrument).content.decode()


def test_keys_ticked_as_done_are_written_down_and_wait_to_be_weighed(bench, heavy):
    words = moved(bench, heavy, 40).content.decode()
    assert KeyLead.objects.values_list("key", "distance_mm", "was_found").get() == (40, 107, False)
    assert "Led since it was weighed: C4" in words and "Half-inch" not in words


def test_all_keys_of_the_plan_may_be_done_at_once(bench, heavy):
    send(bench, "leads_moved", heavy, heavy.weighings.first().pk, all="yes")
    assert KeyLead.objects.get().key == 40


def test_done_pressed_twice_is_written_down_once(bench, heavy):
    token = uuid4().hex
    moved(bench, heavy, 40, token=token)
    moved(bench, heavy, 40, token=token)
    assert KeyLead.objects.count() == 1


def test_a_key_that_is_not_in_the_plan_cannot_be_ticked(bench, heavy):
    assert "Tick the keys" in moved(bench, heavy, 41, 42, "x").content.decode()
    assert not KeyLead.objects.exists()


def test_a_lead_that_came_out_meanwhile_stops_the_plan(bench, heavy, technician):
    light = [(44, Decimal(45), Decimal(23))]
    weighing = record_weighing(
        instrument=heavy, readings=light, by=technician, on=make.A_DAY, stage="as_found"
    )
    send(bench, "leads_found", heavy, lines="44 7 150", diameter_mm="9", found_on="2026-04-02")
    plan = lead_plan_of(weighing, heavy)
    record_moved_leads(instrument=heavy, plans=plan.keys, by=technician, on=make.A_DAY)
    with pytest.raises(Blocked, match="changed meanwhile"):
        record_moved_leads(instrument=heavy, plans=plan.keys, by=technician, on=make.A_DAY)
    assert KeyLeadTakenOut.objects.count() == 1


def test_the_plan_is_printed_with_its_caution(bench, heavy):
    answer = bench.get(
        reverse("instruments:lead_plan_print", args=[heavy.stock_number, heavy.weighings.first().pk])
    )
    read = Reading(answer.content)
    words = read.text
    assert answer["Content-Type"] == "application/pdf"
    ink = read.reader.pages[0].get_contents().get_data()
    treated = len(lead_plan_of(heavy.weighings.first(), heavy).treated)
    assert ink.count(b".5 .5 10 10 re") == ink.count(b" 0 1 m ") + ink.count(b"\n0 1 m ") == treated > 0
    assert (
        "Half-inch (14 g) at 107 mm" in words and "Lead is a poison" in words and "friction is 19 g" in words
    )


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("natural_front_mm", "ten", "Give a number"),
        ("farthest_mm", "230", "not beyond the measuring point"),
        ("nearest_mm", "190", "nearest before farthest"),
        ("behind_mm", "10", "give more, or 0"),
        ("measured_on", "2999-01-01", "has not come yet"),
    ],
)
def test_a_lever_that_cannot_be_is_refused_and_kept_as_typed(bench, field, typed, sentence):
    instrument = make.make_instrument()
    measures = {
        "natural_front_mm": "220",
        "sharp_front_mm": "200",
        "nearest_mm": "30",
        "farthest_mm": "180",
        "behind_mm": "0",
        "least_up_g": "20",
        "measured_on": "2026-04-02",
    }
    words = send(bench, "lever_measure", instrument, **(measures | {field: typed})).content.decode()
    assert sentence in words and f'value="{typed}"' in words
    assert not instrument.lever_measures.exists()


def test_a_lever_is_kept_and_the_plan_opens(bench, heavy):
    send(
        bench,
        "lever_measure",
        heavy,
        natural_front_mm="225,5",
        sharp_front_mm="205",
        nearest_mm="30",
        farthest_mm="180",
        behind_mm="0",
        least_up_g="22",
        measured_on="2026-04-03",
    )
    assert heavy.lever_measures.first().natural_front_mm == Decimal("225.5")


@pytest.mark.parametrize(
    ("line", "sentence"),
    [
        ("C4 14", "should be a key, a mass and a distance"),
        ("H4 14 100", "Line 1:"),
        ("C4 900 100", "between 0.5 and 60 g"),
        ("C4 14 2", "between 5 and 400 mm"),
        ("C4 NaN 100", "Line 1:"),
    ],
)
def test_a_lead_that_cannot_sit_in_a_key_is_refused(bench, heavy, line, sentence):
    words = send(bench, "leads_found", heavy, lines=line, diameter_mm="12", found_on="2026-04-02")
    assert sentence in words.content.decode() and line in words.content.decode()
    assert not KeyLead.objects.exists()


def test_leads_found_twice_are_on_file_once(bench, heavy):
    lines = "C4 14 -110\n44 7 150\n44 7 150"
    for _ in range(2):
        send(bench, "leads_found", heavy, lines=lines, diameter_mm="12", found_on="2026-04-02")
    assert list(KeyLead.objects.values_list("key", "distance_mm")) == [(40, -110), (44, 150)]


def drawer(client, **fields):
    fields = {"name": "Half-inch", "diameter_mm": "12.7", "in_use": "on", "form_token": uuid4().hex} | fields
    return client.post(reverse("instruments:lead_size_add"), fields, follow=True)


def test_a_lead_is_reckoned_from_its_size_as_published(client, owner):
    """CHECKS.md 1.14: 12.7 mm across and 10 mm long is 14.37 g of lead."""
    client.force_login(owner)
    drawer(client, length_mm="10")
    assert LeadSize.objects.get().mass_g == Decimal("14.37")


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, "Give the mass, or the length"),
        ({"mass_g": "0"}, "at least."),
        ({"mass_g": "1e9"}, "mass"),
    ],
)
def test_a_lead_without_a_mass_is_refused(client, owner, fields, sentence):
    client.force_login(owner)
    assert sentence in drawer(client, **fields).content.decode()
    assert not LeadSize.objects.exists()


def test_a_size_is_changed_under_the_eyes_of_its_history(client, owner):
    client.force_login(owner)
    size = make.make_lead_size(by=owner)
    address = reverse("instruments:lead_size_edit", args=[size.pk])
    changed = {"name": "Half-inch", "diameter_mm": "12.7", "mass_g": "13.9"}
    client.post(address, changed | {"form_token": uuid4().hex})
    size.refresh_from_db()
    assert (size.mass_g, size.in_use) == (Decimal("13.9"), False)
    assert "Lead size changed" in client.get(address).content.decode()


def test_the_queries_do_not_grow_with_the_keys(bench, heavy, technician, django_assert_max_num_queries):
    make.make_weighing(instrument=heavy, by=technician, down_g=58, up_g=32)
    with django_assert_max_num_queries(16):
        page(bench, heavy)
