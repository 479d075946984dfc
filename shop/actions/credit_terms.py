"""Terms of credit: put in force by the owner for new trials, or agreed for one trial alone."""

from datetime import date

from django.db import transaction
from django.utils import timezone

from instruments.problems import Blocked, Blocker
from shop.actions.terms import lock_terms
from shop.calc.credit_terms import CreditRule
from shop.models import CreditTerms


def credit_terms_in_force() -> CreditTerms:
    """The newest that the owner put in force; all that is paid, for good, where there is none yet."""
    newest = CreditTerms.objects.of_the_shop().first()
    if newest:
        return newest
    today = timezone.localdate()
    return _write(CreditRule(), label=f"{today.year}-1", note="As shipped", by=None, on=today)


@transaction.atomic
def put_credit_terms_in_force(*, rule: CreditRule, note: str = "", by, on: date) -> CreditTerms:
    """From here on every draft starts from these; what was drafted or started before keeps its own."""
    lock_terms()
    if credit_terms_in_force().rule == rule:
        raise Blocked([Blocker("Nothing has changed since the terms of credit were put in force.")])
    taken = CreditTerms.objects.filter(label__startswith=f"{on.year}-").values_list("label", flat=True)
    following = max((int(label.rpartition("-")[2]) for label in taken), default=0) + 1
    return _write(rule, label=f"{on.year}-{following}", note=note, by=by, on=on)


def credit_terms_for(rule: CreditRule, *, by, on: date, before: CreditTerms | None = None) -> CreditTerms:
    """The row that says this rule: the trial's own before, the shop's in force, or one for this trial."""
    for row in filter(None, [before, credit_terms_in_force()]):
        if row.rule == rule:
            return row
    return _write(rule, by=by, on=on)


def _write(rule: CreditRule, *, label: str = "", note: str = "", by, on: date) -> CreditTerms:
    return CreditTerms.objects.create(
        label=label,
        scale=[list(step) for step in rule.scale],
        delivery_counts="delivery" in rule.fees_that_count,
        tuning_counts="tuning" in rule.fees_that_count,
        hire_counts="hire" in rule.fees_that_count,
        only_dearer=rule.only_dearer,
        expires_after_months=rule.expires_after_months,
        note=note,
        in_force_from=on,
        recorded_by=by,
    )
