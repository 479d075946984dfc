"""A later last day for a home trial, agreed in writing while it is out."""

from datetime import date

from django.db import IntegrityError, transaction

from instruments.actions.history import save_tracked
from instruments.problems import refuse_if_blocked
from shop.actions.promises import AlreadyClosed
from shop.models import Promise, Trial, TrialExtension
from shop.states import TrialState
from shop.trial_problems import extension_problems

JUST_EXTENDED = "Somebody extended this trial a moment ago. Look at it again."


@transaction.atomic
def extend_trial(
    *, trial: Trial, until: date, why: str, agreed_on: date, is_late: bool = False, by, on: date
) -> TrialExtension:
    """Move the last day of a trial that is out, and the end of its promise with it. Both or neither.

    Raises Blocked when the day is not later, when the whole loan would reach three months, or when it was
    agreed after the last day and nobody says so (`is_late`).
    """
    trial = (
        Trial.objects.select_for_update(of=("self",)).select_related("instrument", "terms").get(pk=trial.pk)
    )
    if trial.state != TrialState.OUT:
        raise AlreadyClosed(f"{trial.number} is not out: {trial.get_state_display().lower()}.")
    promise = Promise.objects.select_for_update(of=("self",)).get(pk=trial.promise_id)
    trial.promise = promise
    refuse_if_blocked(extension_problems(trial, until=until, agreed_on=agreed_on, is_late=is_late, on=on))
    extension = _written_down(trial, until, why, agreed_on, by)
    trial.ends_on = promise.until = until
    said = f"extended to {until:%-d %B %Y} in writing: {why}"
    save_tracked(trial, by=by, why=f"Home trial {trial.number} {said}")
    save_tracked(promise, by=by, why=f"Home trial {said}")
    return extension


def _written_down(trial: Trial, until: date, why: str, agreed_on: date, by) -> TrialExtension:
    try:
        with transaction.atomic():
            return TrialExtension.objects.create(
                number=f"{trial.number}-E{trial.extensions.count() + 1}",
                trial=trial,
                ended_before=trial.ends_on,
                until=until,
                agreed_on=agreed_on,
                why=why,
                recorded_by=by,
            )
    except IntegrityError:
        raise AlreadyClosed(JUST_EXTENDED) from None
