"""What another app may lay down for an order of work, such as that its customer has agreed to it.

The bench asks these rules and knows none of them: an app registers its own when it is ready.
"""

from collections.abc import Callable
from dataclasses import dataclass

from instruments.models.together import alongside, asking


@dataclass(frozen=True)
class OrderRule:
    """Why the work of an order may not begin: for one order in sentences, for many in one query.

    `problems(order)`, under `@asking`, are Blockers that an action refuses by, `held_up()` a queryset of the
    keys of the orders that it refuses, on `instruments` alone where their keys are given, and `waits_for`
    what such an order waits for in a few words: "the customer's approval".
    """

    problems: Callable
    held_up: Callable
    waits_for: str


RULES: list[OrderRule] = []


def register_order_rule(rule: OrderRule) -> None:
    """Hold every order to this rule from now on. Registered twice, it is asked once."""
    if rule not in RULES:
        RULES.append(rule)


@asking
def beginning_problems(order):
    """Why the work of this order may not begin yet: no timer starts, and no item of it closes."""
    said = yield from alongside(*(rule.problems.later(order) for rule in RULES))
    return [problem for problems in said for problem in problems]


@asking
def waiting_words(orders):
    """By its key, what each of these orders waits for before its work may begin, as a tuple of words."""
    words: dict[int, tuple[str, ...]] = {}
    keys = [order.pk for order in orders]
    instruments = {order.instrument_id for order in orders}
    held = yield tuple(rule.held_up(instruments=instruments).filter(pk__in=keys) for rule in RULES)
    for rule, found in zip(RULES, held, strict=True):
        for key in found:
            words[key] = (*words.get(key, ()), rule.waits_for)
    return words
