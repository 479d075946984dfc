"""No kind of row that leads to a person can be forgotten by export and erasure."""

import re
from collections import deque

from django.apps import apps
from django.contrib.auth.models import User

from instruments.models import Instrument
from shop.models import Person
from shop.person_rows import LEFT_OUT, ROWS, text_columns
from workorders.models import Task

OURS = ("instruments", "workorders", "shop")
STOPS = (User, Instrument, Task)  # what is reached through these is the instrument's, or somebody's at work
SOMEBODY = re.compile(
    r"(^|_)(name|caller|party|told_by|who|email|telephone|address|recipient|received_by|handed_over_by"
    r"|handed_back_to|told_how)$"
)
# Text columns that read like somebody's name, of rows that lead to nobody.
NAMES_OF_OTHERS = {
    "shop.ShopProfile": "the shop itself",
    "shop.LogLine": "`address` is where a request came from; numbers and sums, and no customer",
    "shop.SignInTry": "keyed marks of an account and of where it was tried from, kept for a day",
    "workorders.Outworker": "a firm that works for us; its card is the shop's own book of addresses",
    "instruments.Statement": "told_by, cleared by the name; `who` is whose story it is, of the instrument",
}
NAMES_OF_THINGS = {"name", "original_name", "part_name", "public_address", "figure_name"}


def our_models():
    rows = apps.get_models(include_auto_created=True)
    return [
        each for each in rows if each._meta.app_label in OURS and not each.__name__.startswith("Historical")
    ]


def leads_to_a_person(model) -> bool:
    waiting, seen = deque([model]), {model}
    while waiting:
        for field in waiting.popleft()._meta.concrete_fields:
            other = field.related_model
            if other is Person:
                return True
            if other and other not in seen and other not in STOPS and other._meta.app_label in OURS:
                seen.add(other)
                waiting.append(other)
    return False


def test_every_kind_that_leads_to_a_person_is_handed_out_or_listed_with_a_reason():
    listed = {rows.model for rows in ROWS} | set(LEFT_OUT)
    assert [each.__name__ for each in our_models() if leads_to_a_person(each) and each not in listed] == []


def test_the_walk_sees_what_it_is_for():
    found = {each.__name__ for each in our_models() if leads_to_a_person(each)}
    assert {"Payment", "VisitRecord", "PlanStage", "ReminderResult", "LeadPhoto"} <= found
    assert "Weighing" not in found


def test_every_column_with_somebodys_name_is_in_a_listed_row_or_has_a_reason():
    listed = {rows.model._meta.label for rows in ROWS} | {model._meta.label for model in LEFT_OUT}
    found = {
        model._meta.label
        for model in our_models()
        for column in text_columns(model)
        if SOMEBODY.search(column.name) and column.name not in NAMES_OF_THINGS
    }
    assert sorted(found - listed - set(NAMES_OF_OTHERS)) == []


def test_no_kind_is_listed_twice_and_each_is_found_by_something():
    models = [rows.model for rows in ROWS]
    assert len(models) == len(set(models))
    assert all(bool(rows.paths) != bool(rows.find) for rows in ROWS)


def test_a_column_that_stays_is_a_column():
    for rows in ROWS:
        names = {field.name for field in rows.model._meta.concrete_fields}
        assert {*rows.stays, *rows.columns_kept_back} <= names, rows.model
