"""What somebody looks for: written down, corrected, closed with a reason."""

from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import Refused
from shop.models import Wanted


@transaction.atomic
def keep_wanted(*, wanted: Wanted, is_told: bool | None = None, by, on: date | None = None) -> Wanted:
    """`is_told` says whether they agree to be told by e-mail; left open, it stays as it was."""
    if is_told is True and not wanted.is_told:
        wanted.told_agreed_on, wanted.told_ended_on = on, None
    if is_told is False and wanted.is_told:
        wanted.told_ended_on = on
    save_tracked(wanted, by=by, why=f"Wanted: {wanted}")
    return wanted


@transaction.atomic
def close_wanted(*, wanted: Wanted, why: str, by, on: date) -> Wanted:
    wanted = Wanted.objects.select_for_update().get(pk=wanted.pk)
    if wanted.closed_on:
        raise Refused(f"It is looked for no longer: {wanted.closed_why}.")
    wanted.closed_on, wanted.closed_why = on, why
    save_tracked(wanted, by=by, why=f"No longer wanted: {why}")
    return wanted
