"""The worksheet read back: what a person finds on it, and what a telephone reads."""

import pytest
from django.urls import reverse

from instruments.documents.qr import QrFigure
from tests import make
from tests.reading import Reading
from tests.workorders.pages import item_and_its_prerequisite

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def at_the_bench(client, technician):
    client.force_login(technician)


@pytest.fixture
def coded(monkeypatch):
    """The addresses that were turned into codes."""
    addresses, make_code = [], QrFigure.__init__

    def note(figure, address, *args):
        addresses.append(address)
        make_code(figure, address, *args)

    monkeypatch.setattr(QrFigure, "__init__", note)
    return addresses


def read(client, name: str, *args) -> Reading:
    answer = client.get(reverse(f"workorders:{name}", args=args))
    assert answer["Content-Type"] == "application/pdf"
    return Reading(answer.content)


def test_an_order_says_what_waits_what_closes_and_where_care_is_needed(client, coded):
    weigh, lubricate = item_and_its_prerequisite()
    figure = make.make_item(
        order=lubricate.order,
        name="Set the let-off",
        rank=15,
        keys="1-20",
        caution="Strings are under tension.",
        done_when="it is even",
        acceptance="figure",
        figure_name="let-off",
        figure_unit="mm",
        figure_low=2,
        figure_high=3,
    )
    text = read(client, "order_worksheet_print", lubricate.order.number).text
    for words in (
        "Halden & Rook",
        "1. Lubricate the action",
        "Waits for “Lubricate the action”.",
        "Keys: 1-20",
        "Done when it is even.",
        "Take care. Strings are under tension.",
        "LET-OFF: 2 TO 3 MM",
        "MINUTES",
        "PARTS",
        "WORKED ON BY",
    ):
        assert words.casefold() in text.casefold()
    wanted = [row.get_absolute_url() for row in (lubricate.order, lubricate, weigh, figure)]
    assert coded == [f"http://testserver{address}" for address in wanted]


def test_the_bench_prints_only_what_is_mine_across_instruments(client, technician, owner, coded):
    mine = [make.make_item(name=name, assigned_to=technician) for name in ("Ease the keys", "Clean out")]
    make.make_item(name="Voice", order=mine[0].order, assigned_to=owner)
    text = read(client, "bench_worksheet_print").text
    assert "Worksheet of Tobias Lind" in text and "2 items on the bench." in text
    assert "Ease the keys" in text and "Clean out" in text and "Voice" not in text
    assert f"http://testserver{mine[1].get_absolute_url()}" in coded


def test_long_words_and_many_items_flow_onto_further_pages(client):
    order = make.make_order(note="Keep the hymn board. " * 40)
    for number in range(30):
        make.make_item(order=order, name=f"Item {number}", note="x" * 500, caution="Lead is a poison. " * 20)
    reading = read(client, "order_worksheet_print", order.number)
    assert reading.page_count > 3
    assert all(f"Item {number}" in reading.text for number in range(30))


def test_an_empty_order_prints_all_the_same(client):
    assert "Nothing in it is open." in read(client, "order_worksheet_print", make.make_order().number).text
