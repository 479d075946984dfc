"""Every page and every form of the project, found by walking its addresses over one row of everything."""

from collections.abc import Collection
from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from shop.actions.promises import place_hold
from shop.actions.taken_in import hand_back
from shop.actions.trials import return_trial
from shop.actions.work_money import take_for_work
from tests import make
from tests.access_table import ACCESS
from tests.access_world import arguments_for, make_world
from tests.journeys.page_forms import Form, forms_on
from tests.make_commission import make_approval, make_quote
from tests.test_access import addresses
from workorders.actions.items import leave_item
from workorders.actions.orders import give_up_order
from workorders.states import Acceptance

# Reached with a row of their own below: what the world holds for them has gone too far for their forms.
WITH_THEIR_OWN_ROW = {
    "shop:trial_revise",
    "shop:trial_start",
    "shop:trial_extend",
    "shop:waiting_join",
    "shop:taken_in_again",
    "shop:taken_in_back",
    "shop:quote_approve",
    "shop:quote_cancel",
    "shop:extra_add",
    "shop:work_refund",
    "workorders:order_reopen",
    "workorders:item_reopen",
}
NEVER_WALKED = {"login", "logout"}


def make_walk(by):
    """The world of the access table, with a fresh draft, work that was left, and credit to spend."""
    world, today = make_world(by), timezone.localdate()
    world.person.address = "The Old Forge, Nether Marl"
    world.person.save()
    world.drafted = make.make_trial(
        instrument=world.instrument, person=world.person, starts_on=today, ends_on=today + timedelta(days=42)
    )
    world.out = make.make_running_trial(
        instrument=make.make_instrument(), person=world.person, on=today, ends_on=today + timedelta(days=14)
    )
    returned = make.make_running_trial(instrument=make.make_instrument(), person=world.person)
    return_trial(trial=returned, give_back="credit", by=by, on=make.A_DAY)
    world.left_item = make.make_item(order=world.order)
    leave_item(item=world.left_item, reason="Sound as it is", by=by, on=make.A_DAY)
    given_up = make.make_order()
    make.make_item(order=given_up)
    world.given_up = give_up_order(order=given_up, reason="Sold as seen", by=by, on=make.A_DAY)
    make.make_photo(instrument=world.order.instrument)
    world.waited_for = make.make_instrument()
    somebody_else = make.make_person(name="Otto Nextley")
    place_hold(instrument=world.waited_for, person=somebody_else, until=today, by=by, on=today)
    _customers_of(world, by, today)
    world.items = [_item(world.order, acceptance) for acceptance in Acceptance]
    return world


def page_addresses(world) -> list[str]:
    """Every address that a person can open, and the closing of each kind of work."""
    walked = [
        reverse(name, kwargs=arguments_for(addresses()[name], name, world))
        for name, (method, _) in ACCESS.items()
        if method == "GET" and name not in NEVER_WALKED | WITH_THEIR_OWN_ROW
    ]
    return [
        *walked,
        reverse("shop:trial_revise", args=[world.drafted.number]),
        reverse("shop:trial_start", args=[world.drafted.number]),
        reverse("shop:trial_extend", args=[world.out.number]),
        reverse("shop:waiting_join", args=[world.waited_for.stock_number]),
        reverse("shop:taken_in_again", args=[world.gone_home.instrument.stock_number]),
        reverse("shop:taken_in_back", args=[world.goes_home.number]),
        reverse("shop:quote_approve", args=[world.quoted.number, 1]),
        reverse("shop:quote_cancel", args=[world.quoted.number, 1]),
        reverse("shop:extra_add", args=[world.paid.number]),
        reverse("shop:work_refund", args=[world.paid.number]),
        reverse("workorders:order_reopen", args=[world.given_up.number]),
        reverse("workorders:item_reopen", args=[world.left_item.pk]),
        *(reverse("workorders:item_close", args=[item.pk]) for item in world.items),
    ]


def every_form(client, world, methods: Collection[str] = ("post",)) -> list[Form]:
    """Each form of the project that can be filled in, once, on whatever page it stands."""
    found: dict[tuple, Form] = {}
    for address in page_addresses(world):
        answer = client.get(address)
        assert answer.status_code < 500, address
        if answer.status_code == 200 and answer["Content-Type"].startswith("text/html"):
            for form in forms_on(answer.content.decode(), address):
                if form.method in methods and form.names:
                    found.setdefault((form.method, form.action, tuple(form.names)), form)
    return list(found.values())


def _customers_of(world, by, today) -> None:
    """Customers' pianos that go home or have gone, a quote that waits, and one with a cap and money paid."""
    world.goes_home, world.gone_home = make.make_taken_in(), make.make_taken_in()
    hand_back(taken_in=world.gone_home, to="Wilf Arden", by=by, on=make.A_DAY)
    world.quoted = make_quote(on=today, by=by).commission
    world.paid = make_quote(on=today, extras_cap_minor=1_000_000, by=by).commission
    make_approval(quote=world.paid.quotes.get(), on=today, by=by)
    take_for_work(commission=world.paid, amount_minor=24_000, method="card", by=by, on=today)


def _item(order, acceptance):
    limits = {"figure_name": "let-off", "figure_unit": "mm", "figure_low": 2, "figure_high": 3}
    fields = limits if acceptance == Acceptance.FIGURE else {}
    return make.make_item(order=order, acceptance=acceptance, **fields)
