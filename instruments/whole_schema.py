"""The tables of a new database, made all at once.

Django draws up every related model anew for each table that a migration adds, which for two hundred tables
takes half a minute. Here the models are drawn up once, when all of them are known.
"""

from django.db.migrations.operations import CreateModel
from django.db.migrations.operations.base import Operation


class CreateModels(Operation):
    """Several `CreateModel` as one operation, in an order in which each table finds those it points at."""

    def __init__(self, models: list[CreateModel]):
        self.models = models

    def state_forwards(self, app_label, state):
        state.__dict__.pop("apps", None)  # drawn up again, once, when next asked for
        for each in self.models:
            each.state_forwards(app_label, state)

    def database_forwards(self, app_label, schema_editor, from_state, to_state):
        for each in self.models:
            each.database_forwards(app_label, schema_editor, from_state, to_state)

    def database_backwards(self, app_label, schema_editor, from_state, to_state):
        for each in reversed(self.models):
            each.database_backwards(app_label, schema_editor, from_state, to_state)

    def describe(self) -> str:
        return f"Create {len(self.models)} tables"
