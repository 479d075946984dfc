"""Several changes of one table: all put into words first, then made without a pause between them."""

import pytest
from django.db import connection, migrations, models
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ModelState, ProjectState

from instruments.at_once import AtOnce

NAME = "at_once_try"


def a_table() -> ProjectState:
    state = ProjectState()
    state.add_model(
        ModelState("tries", "Try", [("id", models.AutoField(primary_key=True))], {"db_table": NAME})
    )
    return state


def columns() -> list[str]:
    with connection.cursor() as cursor:
        return [each.name for each in connection.introspection.get_table_description(cursor, NAME)]


CHANGES = [
    migrations.AddField("try", "words", models.CharField(max_length=20, default="told")),
    migrations.AddField("try", "count", models.IntegerField(null=True)),
    migrations.AddConstraint(
        "try", models.CheckConstraint(condition=models.Q(count__isnull=True), name="no_count_at_once")
    ),
]


@pytest.mark.django_db(transaction=True)
def test_all_changes_are_made_with_what_was_in_the_table_and_taken_back():
    before = a_table()
    at_once, after = AtOnce(CHANGES), before.clone()
    at_once.state_forwards("tries", after)
    with connection.schema_editor() as editor:
        editor.create_model(before.apps.get_model("tries", "Try"))
    before.apps.get_model("tries", "Try").objects.create()
    try:
        with connection.schema_editor() as editor:
            at_once.database_forwards("tries", editor, before, after)
        row = after.apps.get_model("tries", "Try").objects.get()
        assert (row.words, row.count, columns()) == ("told", None, ["id", "words", "count"])
        with connection.schema_editor() as editor:
            at_once.database_backwards("tries", editor, after, before)
        assert columns() == ["id"]
    finally:
        with connection.schema_editor() as editor:
            editor.delete_model(before.apps.get_model("tries", "Try"))


def test_the_models_are_worked_out_before_the_first_change(monkeypatch):
    seen = []

    class Noted(Operation):
        def __init__(self, name: str):
            self.name = name

        def state_forwards(self, app_label, state):
            seen.append(f"{self.name} is worked out")

        def database_forwards(self, app_label, schema_editor, from_state, to_state):
            assert "apps" in vars(from_state) and "apps" in vars(to_state)
            seen.append(f"{self.name} is made")

    AtOnce([Noted("one"), Noted("two")]).database_forwards("tries", None, ProjectState(), ProjectState())
    assert seen == ["one is worked out", "two is worked out", "one is made", "two is made"]
