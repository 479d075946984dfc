"""For whoever runs the bench: what will be late by estimate, and who has more than fits."""

from datetime import date

from django.urls import reverse

from instruments.models.together import asking
from shop.waiting_lines import MOST, Group, Waiting, named
from workorders.estimates import Estimate
from workorders.week_plan import PersonLoad, bench_in_trouble


@asking
def trouble_at_the_bench(on: date):
    """No group where there is nothing of it."""
    late, overloaded = yield from bench_in_trouble.later(on=on)
    address = reverse("workorders:plan")
    groups = [
        Group("Late by estimate", [_late(each) for each in late[:MOST]], more_url=address),
        Group("Overloaded at the bench", [_load(each, address) for each in overloaded[:MOST]]),
    ]
    return [group for group in groups if group.lines]


def _late(estimate: Estimate) -> Waiting:
    order = estimate.order
    done = f"done about {estimate.finish_on:%-d %B}, {estimate.against_due}"
    address = f"{order.get_absolute_url()}#estimate"
    return Waiting(f"{order.title}, {named(order.instrument)}", done, address, is_late=True)


def _load(load: PersonLoad, address: str) -> Waiting:
    return Waiting(load.name, load.words, address, is_late=True)
