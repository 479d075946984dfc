"""Statements are added and corrected, never edited: a correction stands beside what it replaces."""

from django.db import IntegrityError, transaction

from instruments.actions.chain import add_link
from instruments.actions.search import refresh_search_text
from instruments.models import Instrument, Statement
from instruments.problems import Blocked, statement_correction_problems


@transaction.atomic
def add_statement(*, instrument: Instrument, by, **said) -> Statement:
    """Write down what is said of an instrument; `said` holds fields of Statement, at least text and grade."""
    statement = Statement.objects.create(instrument=instrument, recorded_by=by, **said)
    add_link(statement, instrument=instrument)
    refresh_search_text(instrument)
    return statement


@transaction.atomic
def correct_statement(*, statement: Statement, reason: str, by, **said) -> Statement:
    """Replace a statement by a better one and keep both. Raises Blocked when it was replaced before."""
    try:
        with transaction.atomic():
            newer = Statement.objects.create(
                instrument=statement.instrument,
                supersedes=statement,
                supersede_reason=reason,
                recorded_by=by,
                **said,
            )
    except IntegrityError:
        problems = statement_correction_problems(Statement.objects.get(pk=statement.pk))
        if not problems:
            raise
        raise Blocked(problems) from None
    add_link(newer, instrument=statement.instrument)
    refresh_search_text(statement.instrument)
    return newer
