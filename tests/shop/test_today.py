"""What waits for whom, and where the shop's terms are changed."""

import pytest

from instruments.actions.condition_reports import close_report
from shop.bench_waiting import running_low
from shop.models import ShopProfile
from shop.waiting import orders_nearly_ready, waiting_for, walks_left_open
from shop.waiting_lines import Group, Waiting
from tests import make

pytestmark = pytest.mark.django_db


def nearly_ready() -> list[str]:
    return [line.words for line in orders_nearly_ready().lines]


def close(item) -> None:
    item.state, item.result, item.closed_by, item.closed_at = (
        "done",
        "Done.",
        make.somebody(),
        "2026-03-21T10:00Z",
    )
    item.save()


def test_an_order_with_nothing_done_in_it_is_not_nearly_ready():
    make.make_order(title="Only opened")
    make.make_item(order=make.make_order(title="Only extras"), is_required=False)
    assert nearly_ready() == []


def test_an_order_is_nearly_ready_once_all_that_is_required_is_done():
    order = make.make_order(title="Prepare for sale")
    items = [make.make_item(order=order) for _ in range(2)]
    close(items[0])
    assert nearly_ready() == []
    close(items[1])
    make.make_item(order=order, is_required=False)
    assert nearly_ready() == ["Prepare for sale"]


def test_a_walk_left_open_waits_with_how_far_it_came_until_it_is_closed(owner):
    report = make.make_report(by=owner)
    for part in ("case", "case", "pins"):
        make.make_line(report=report, part=part)
    (group,) = walks_left_open()
    assert [line.detail for line in group.lines] == ["2 of 20 looked at; begun by Olive Tarn"]
    close_report(report=report, by=owner)
    assert walks_left_open() == []


def test_what_is_late_stands_first_and_where_nothing_waits_last(monkeypatch, owner):
    late, soon = Waiting("Late", "", "/", is_late=True), Waiting("Soon", "", "/")
    groups = [Group("Nothing"), Group("Soon", [soon]), Group("Mixed", [soon, late])]
    monkeypatch.setattr("shop.waiting._gathered", lambda user, on: groups)
    found = waiting_for(owner, on=make.A_DAY)
    assert [group.heading for group in found] == ["Mixed", "Soon", "Nothing"]
    assert [line.words for line in found[0].lines] == ["Late", "Soon"]


def test_what_has_run_out_in_the_stores_is_late(owner):
    consumable = make.make_consumable(by=owner)
    type(consumable).objects.filter(pk=consumable.pk).update(low_mark=5)
    (line,) = running_low()[0].lines
    assert line.is_late and line.detail.startswith("0")


def test_changed_terms_are_kept_with_who_changed_them(client, owner):
    client.force_login(owner)
    terms = {"name": "Larkrow", "jurisdiction": "uk", "tax_scheme": "margin", "tax_country": "GB"}
    touch = {"touch_bass_g": "52", "touch_middle_g": "50", "touch_treble_g": "48", "touch_tolerance_g": "2"}
    answer = client.post("/terms/", terms | touch | {"trial_days": "30", "keep_years": "6"})
    assert answer.status_code == 302
    profile = ShopProfile.current()
    assert profile.trial_days == 30
    assert profile.history.get().history_user == owner
