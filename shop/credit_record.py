"""What the record says of credit, and of deductions from what was paid."""

from shop.models import CreditEntry, Deduction
from shop.written_kinds import Kind, sentence
from workorders.currency import in_words


def _credit(row: CreditEntry, user) -> str:
    verb = "into the credit of" if row.amount_minor > 0 else "taken from the credit of"
    return sentence(f"{in_words(abs(row.amount_minor))} {verb} {row.person}", row.note)


def _deduction(row: Deduction, user) -> str:
    verb = "taken back" if row.amount_minor < 0 else "to be deducted"
    how = f", {row.agreed_words}" if row.agreed_words else ""
    return sentence(f"{in_words(abs(row.amount_minor))} {verb}, {str(row).lower()}{how}")


CREDIT_KINDS = (
    Kind(CreditEntry, _credit, path="promise__instrument", right="shop.see_people", beside=("person",)),
    Kind(Deduction, _deduction, path="promise__instrument", right="shop.see_people"),
)
