"""Acts that are done whole or not at all, by themselves or as a part of another."""

from collections.abc import Callable
from functools import wraps

from django.db import connection, transaction


def whole(act: Callable) -> Callable:
    """As `transaction.atomic`, but a part of an act that is whole itself sets no savepoint.

    What a part refuses undoes the whole act: nobody goes on after it, and Django lets nobody. An act that can
    go on without a part has to set the savepoint before it. So that tests may go on after what was refused,
    the transaction that they put around themselves counts for none.
    """

    @wraps(act)
    def acted(*args, **given):
        is_part = any(not block._from_testcase for block in connection.atomic_blocks)
        with transaction.atomic(savepoint=not is_part):
            return act(*args, **given)

    return acted
