"""Changes of tables that are all put into words before the first of them is made."""

from collections.abc import Sequence

from django.db.migrations.operations import SeparateDatabaseAndState
from django.db.migrations.operations.base import Operation


class AtOnce(SeparateDatabaseAndState):
    """The `operations` of a migration that changes one table several times.

    PostgreSQL lets nobody at a table from its first change to the end of the transaction, and Django works
    out before each change what all models look like after it, a quarter of a second each time. Here it works
    all of that out first, and then the changes follow each other without a pause.
    """

    def __init__(self, operations: Sequence[Operation]):
        super().__init__(database_operations=operations, state_operations=operations)

    def database_forwards(self, app_label, schema_editor, from_state, to_state):
        steps = []
        for operation in self.database_operations:
            before, after = from_state, from_state.clone()
            operation.state_forwards(app_label, after)
            steps.append((operation, before, after, before.apps, after.apps))  # asking for them makes them
            from_state = after
        for operation, before, after, *_ in steps:
            operation.database_forwards(app_label, schema_editor, before, after)
