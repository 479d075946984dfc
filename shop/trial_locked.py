"""The row of a home trial, held by whoever starts or ends it."""

from django.db.models import QuerySet

from instruments.models.worded import ASKED, of_one
from shop.models import Trial


def locked_trial(trial: Trial) -> Trial:
    """As it stands now, and nobody else's to change before this transaction ends."""
    (locked,) = _row(trial.pk).alone()
    return locked


@of_one
def _row() -> QuerySet[Trial]:
    rows = Trial.objects.select_for_update(of=("self",)).filter(pk=ASKED).order_by()
    return rows.select_related("instrument", "person", "credit_terms")
