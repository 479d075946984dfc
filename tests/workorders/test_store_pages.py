"""The pages of the stores: what is low first, what came and went, and parts that count down by themselves."""

from decimal import Decimal

import pytest

from tests import make
from tests.workorders.pages import send
from workorders.actions.stores import receive, use_from_stock
from workorders.actions.task_parts import set_task_parts
from workorders.models import Consumable, PartUsed, TaskPart
from workorders.stock import on_hand_of, shortages_of

pytestmark = pytest.mark.django_db
A_DAY = make.A_DAY.isoformat()


@pytest.fixture(autouse=True)
def at_work(client, technician):
    client.force_login(technician)


def stocked(quantity=200, **fields):
    consumable = make.make_consumable(**fields)
    receive(
        consumable=consumable, quantity=Decimal(quantity), cost_minor=2000, by=make.somebody(), on=make.A_DAY
    )
    return consumable


def page(client, address):
    return client.get(address).content.decode()


def add(client, **fields):
    fields = {"kind": "strings", "name": "Wire 15", "unit": "m", "hazard": "", "in_use": "on"} | fields
    return send(client, "/bench/stores/new/", **fields)


def test_a_gauge_is_kept_with_its_table_and_its_millimetres(client):
    # CHECKS section 3: 15 is 0.875 mm by the metric table and 0.889 mm by the American one.
    add(client, gauge="15", gauge_table="metric")
    assert Consumable.objects.get().size_words == "gauge 15 (metric table), 0.875 mm"
    add(client, name="Wire 15 A", gauge="15", gauge_table="american")
    assert Consumable.objects.get(name="Wire 15 A").diameter_mm == Decimal("0.889")


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"gauge": "15"}, "Say which table the gauge is of"),
        (
            {"gauge": "15", "gauge_table": "metric", "diameter_mm": "0.914"},
            "is 0.875 mm: change one of the two",
        ),
        # CHECKS section 3, test 10: published lists differ on 24.
        ({"gauge": "24", "gauge_table": "american"}, "Published lists disagree on gauge 24"),
        ({}, "Give the diameter in millimetres."),
        ({"kind": "centre_pins"}, "Pins are kept by their size"),
        ({"gauge": "9", "gauge_table": "metric"}, "There is no gauge 9"),
        ({"low_mark": "-1", "diameter_mm": "1"}, "is 0 at least"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_kept(client, fields, sentence):
    assert sentence in add(client, **fields).content.decode()
    assert not Consumable.objects.exists()


def test_a_disputed_gauge_is_kept_by_the_millimetres_given(client):
    add(client, gauge="24", gauge_table="american", diameter_mm="1.397")
    assert Consumable.objects.get().diameter_mm == Decimal("1.397")


def test_a_delivery_a_count_and_a_loss_go_through_their_pages(client):
    pins = make.make_consumable()
    base = f"/bench/stores/{pins.pk}/"
    send(client, f"{base}receive/", quantity="100", cost_minor="12", on=A_DAY)
    send(client, f"{base}count/", counted="90", why="Year's end", on=A_DAY)
    send(client, f"{base}write-off/", quantity="5", why="Rust", on=A_DAY)
    assert on_hand_of(pins).quantity == 85
    assert "Year&#x27;s end" in page(client, base)


def test_more_than_is_there_is_refused_beside_what_was_typed(client):
    pins = stocked(3)
    answer = send(client, f"/bench/stores/{pins.pk}/write-off/", quantity="5", why="Rust", on=A_DAY)
    assert "3 on hand by the books" in answer.content.decode()
    assert on_hand_of(pins).quantity == 3


def test_what_is_low_stands_first_and_alone_when_asked(client):
    stocked(200, name="Plenty")
    stocked(10, name="Zinc white", kind="other", size="")
    assert page(client, "/bench/stores/").index("Zinc white") < page(client, "/bench/stores/").index("Plenty")
    assert "Plenty" not in page(client, "/bench/stores/?low=1")
    table = client.get("/bench/stores/table.csv?low=1").getvalue().decode()
    assert "Zinc white" in table
    assert "Plenty" not in table


def test_the_cost_of_what_is_on_hand_is_for_those_who_may_see_it(client, owner):
    pins = stocked(200)
    assert "20.00" not in page(client, pins.get_absolute_url())
    client.force_login(owner)
    assert "20.00" in page(client, pins.get_absolute_url())


def test_lead_says_so_wherever_it_is_handled(client):
    leads = make.make_consumable(kind="leads", name="Leads 12.7")
    for address in (leads.get_absolute_url(), f"/bench/stores/{leads.pk}/receive/"):
        assert "No eating, drinking or smoking" in page(client, address)


@pytest.mark.parametrize("count", [1, 9])
def test_the_stores_take_the_same_queries_however_full(count, client, django_assert_num_queries):
    for number in range(count):
        stocked(name=f"Pins {number}")
    client.get("/bench/stores/")
    with django_assert_num_queries(7):
        client.get("/bench/stores/")


@pytest.mark.parametrize("count", [1, 9])
def test_one_consumable_takes_the_same_queries(count, client, django_assert_num_queries):
    pins = stocked()
    for _ in range(count):
        use_from_stock(
            item=make.make_item(), consumable=pins, quantity=Decimal(1), by=make.somebody(), on=make.A_DAY
        )
    client.get(pins.get_absolute_url())
    with django_assert_num_queries(8):
        client.get(pins.get_absolute_url())


def usual(task, consumable, quantity, name=""):
    part = TaskPart(consumable=consumable, name=name, quantity=Decimal(quantity))
    return set_task_parts(task=task, parts=[part], by=make.somebody())[0]


def test_a_typical_part_is_offered_and_counted_down_when_ticked(client):
    pins, task = stocked(), make.make_task()
    part = usual(task, pins, 20)
    item = make.make_item(task=task)
    assert f'name="much_{part.pk}" value="20"' in page(client, f"/items/{item.pk}/part/")
    fields = {f"use_{part.pk}": "on", f"much_{part.pk}": "18", "quantity": "1", "on": A_DAY}
    send(client, f"/items/{item.pk}/part/", **fields)
    assert (PartUsed.objects.get().cost_minor, on_hand_of(pins).quantity) == (180, 182)


def test_a_part_from_the_stores_by_choice_and_one_by_name(client):
    pins, item = stocked(), make.make_item()
    send(client, f"/items/{item.pk}/part/", consumable=pins.pk, quantity="10", on=A_DAY)
    send(client, f"/items/{item.pk}/part/", name="A hinge", quantity="1", cost_minor="3", on=A_DAY)
    assert [(part.name, part.cost_minor) for part in PartUsed.objects.all()] == [
        ("Centre pins 20", 100),
        ("A hinge", 300),
    ]


def test_parts_that_are_not_there_are_refused_all_together(client):
    few, task, item = stocked(3), make.make_task(), None
    part = usual(task, few, 20)
    item = make.make_item(task=task)
    fields = {f"use_{part.pk}": "on", f"much_{part.pk}": "20", "name": "Glue", "quantity": "1", "on": A_DAY}
    answer = send(client, f"/items/{item.pk}/part/", **fields)
    assert "3 on hand by the books" in answer.content.decode()
    assert not PartUsed.objects.exists()


def test_an_order_tells_what_its_open_items_will_run_short_of(client):
    pins, task = stocked(30), make.make_task()
    usual(task, pins, 20)
    order = make.make_order()
    items = [make.make_item(order=order, task=task) for _ in range(2)]
    assert "40 usually wanted, 30 on hand" in page(client, order.get_absolute_url())
    use_from_stock(item=items[0], consumable=pins, quantity=Decimal(10), by=make.somebody(), on=make.A_DAY)
    assert shortages_of([order])[0].words == "30 usually wanted, 20 on hand"


def test_the_owner_says_what_a_task_usually_takes(client, owner):
    pins, task = stocked(), make.make_task()
    client.force_login(owner)
    fields = {"consumable_0": pins.pk, "quantity_0": "20", "name_1": "Talc", "quantity_1": "1"}
    send(client, f"/bench/tasks/{task.code}/parts/", **fields)
    assert [str(part) for part in task.typical_parts.all()] == ["20 × Centre pins 20", "1 × Talc"]
    answer = send(client, f"/bench/tasks/{task.code}/parts/", consumable_0=pins.pk, quantity_0="")
    assert "above 0" in answer.content.decode()
    assert task.typical_parts.count() == 2


def test_the_rates_say_who_has_which_now_and_since_when(client, owner, technician):
    client.force_login(owner)
    send(client, "/bench/rates/", per_hour_minor="30", since="2026-01-05")
    send(client, "/bench/rates/", per_hour_minor="26", since="2026-02-01", person=technician.pk)
    shown = page(client, "/bench/rates/")
    assert "since 1 February 2026, their own rate" in shown
    assert "since 5 January 2026, everybody&#x27;s rate" in shown
