"""Which of the kept papers are a person's: by the trial or sale they hang on, else by their number."""

from django.db.models import Q, QuerySet
from django.db.models.fields.json import KeyTextTransform

from shop.models import (
    HoldTerms,
    Paper,
    Person,
    Purchase,
    Quote,
    Receipt,
    SaleOrReturn,
    TakenIn,
)
from shop.states import PaperKind

# Where the numbers of a kind of paper stand that hangs on neither a trial nor a sale.
NUMBERS = {
    PaperKind.RECEIPT: (Receipt, "number", "payment__person__in"),
    PaperKind.HOLD: (HoldTerms, "number", "promise__person__in"),
    PaperKind.PURCHASE_INVOICE: (Purchase, "own_number", "seller__in"),
    PaperKind.SALE_OR_RETURN: (SaleOrReturn, "number", "owner__in"),
    PaperKind.TAKEN_IN: (TakenIn, "number", "person__in"),
    PaperKind.HANDED_BACK: (TakenIn, "number", "person__in"),
}
OF_TRIAL_OR_SALE = {
    PaperKind.INVOICE,
    PaperKind.CREDIT_NOTE,
    PaperKind.TRIAL_AGREEMENT,
    PaperKind.TRIAL_EXTENSION,
    PaperKind.TRIAL_DELIVERY,
    PaperKind.TRIAL_COLLECTION,
    PaperKind.TRIAL_SETTLEMENT,
    PaperKind.DELIVERY_NOTE,
    PaperKind.CANCELLING,
    PaperKind.GUARANTEE,
    PaperKind.QUOTE,
}
# What is printed of an instrument, whoever takes it home.
OF_NOBODY = {PaperKind.SALE_SHEET, PaperKind.HISTORY, PaperKind.HISTORY_SHORT}


def papers_of(person: Person) -> QuerySet[Paper]:
    """Newest first, over all joined cards."""
    rows = person.rows()
    theirs = Q(trial__person__in=rows) | Q(sale__person__in=rows)
    theirs |= Q(pk__in=Quote.objects.filter(commission__person__in=rows).values("paper"))
    for kind, (model, number, whose) in NUMBERS.items():
        numbers = model.objects.filter(**{whose: rows}).exclude(**{number: ""}).values(number)
        theirs |= Q(kind=kind, number__in=numbers)
    holds = HoldTerms.objects.filter(promise__person__in=rows).values("number")
    theirs |= Q(kind=PaperKind.HOLD, of_hold__in=holds)  # an extension's number is not the hold's own
    return Paper.objects.annotate(of_hold=KeyTextTransform("hold", "facts")).filter(theirs).order_by("-id")
