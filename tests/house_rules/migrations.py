"""What a migration may do while the release before it still serves.

A release is rolled out in this order: the tables are changed, then one server after the other is replaced. So
the older release reads and writes the newer tables for a while, and for good after a roll back. It knows
nothing of a new column, and goes on reading one that is gone. Hence: first add, and let nothing read or write
the old any more; take away in a later release.
"""

from collections.abc import Iterator, Sequence

from django.db import connection
from django.db.migrations.operations import (
    AddConstraint,
    AddField,
    AddIndex,
    AlterField,
    AlterModelManagers,
    AlterModelOptions,
    AlterOrderWithRespectTo,
    CreateModel,
    RemoveConstraint,
    RemoveIndex,
    RenameIndex,
    RunPython,
    RunSQL,
    SeparateDatabaseAndState,
)
from django.db.migrations.operations.base import Operation
from django.db.migrations.state import ProjectState
from django.db.models import Field

# The numbers of the last migrations that were made before this rule.
BEFORE_THE_RULE = {"instruments": 14, "workorders": 8, "shop": 39}
# "shop.0041_no_till": why the release before it can live with that. Taken away, renamed or narrowed here
# means: no release that may still serve reads it, or writes what would now be refused.
ALLOWED: dict[str, str] = {
    "shop.0044_signed_by_typing_the_name": "what is drawn or on paper is held to the same as before;"
    " a name that is typed, which the older release never writes, is let in besides",
}
NEVER_HURTS = (
    AddIndex,
    AlterModelManagers,
    AlterModelOptions,
    CreateModel,
    RemoveConstraint,
    RemoveIndex,
    RenameIndex,
    RunPython,
)


def too_soon(app: str, operations: Sequence[Operation], before: ProjectState) -> list[str]:
    """A sentence for each of the `operations` of one migration that the older release cannot live with."""
    state, breaches = before.clone(), []
    operations = list(_on_the_database(operations))
    made = {each.name_lower for each in operations if isinstance(each, CreateModel)}
    for operation in operations:
        if getattr(operation, "model_name_lower", None) not in made:
            breaches += _breaches(app, operation, state)
        operation.state_forwards(app, state)
    fills = [each for each in operations if isinstance(each, RunPython)]
    changes = [each for each in operations if isinstance(each, AddField | AlterField | AddConstraint)]
    if fills and any(each.model_name_lower not in made for each in changes):
        breaches.append("fills rows and changes a table: the table stays shut until the last row is filled")
    return breaches


def _on_the_database(operations: Sequence[Operation]) -> Iterator[Operation]:
    for each in operations:
        if isinstance(each, SeparateDatabaseAndState):
            yield from _on_the_database(each.database_operations)
        else:
            yield each


def _breaches(app: str, operation: Operation, state: ProjectState) -> list[str]:
    match operation:
        case AddField(field=field) if field.many_to_many or field.null or field.has_db_default():
            return []
        case AddField(model_name=model, name=name):
            return [f"{model}.{name} must have a value and has none by itself: null=True or db_default"]
        case AlterField(model_name=model, name=name, field=field):
            old = state.models[app, operation.model_name_lower].fields[name]
            return (
                []
                if _column(field) == _column(old) or _is_wider(field, old)
                else [f"{model}.{name} becomes another column"]
            )
        case AddConstraint(model_name=model, constraint=constraint):
            return [f"{constraint.name} may refuse what the older release writes into {model}"]
        case RunSQL():
            return ["plain SQL may do anything"]
        case AlterOrderWithRespectTo():
            return ["a column of order must have a value and has none by itself"]
        case _ if isinstance(operation, NEVER_HURTS):
            return []
    return [f"{operation.describe()}: the older release still reads it"]


def _column(field: Field) -> tuple:
    return (
        field.db_parameters(connection)["type"],
        field.null,
        field.unique,
        field.db_column,
        field.has_db_default(),
        field.remote_field and (field.remote_field.model, field.db_constraint),
    )


def _is_wider(field: Field, old: Field) -> bool:
    """The same kind of column that takes no less than before."""
    return (
        field.get_internal_type() == old.get_internal_type()
        and field.db_column == old.db_column
        and (field.null or not old.null)
        and (old.unique or not field.unique)
        and (field.has_db_default() or not old.has_db_default())
        and (field.max_length or 0) >= (old.max_length or 0)
        and (getattr(field, "max_digits", 0) or 0) >= (getattr(old, "max_digits", 0) or 0)
        and getattr(field, "decimal_places", 0) == getattr(old, "decimal_places", 0)
        and not field.is_relation
    )
