"""Every kind of row that is a person's: how it is found, what it hands out, when its words go, and why then.

The one list behind the export of somebody's data and behind its erasure. A word is cleared unless it is
named here as one that stays, so that a column added later is not forgotten; a kind of row that leads to a
person and is missing here fails `tests/shop/test_person_rows.py`.
"""

from collections.abc import Callable
from dataclasses import dataclass

from django.db import models
from django.db.models import Q, QuerySet

from instruments.models import Document, Statement
from shop.models import (
    AccessSurvey,
    Approval,
    BookLine,
    CallBack,
    CallBackAnswer,
    CallBackJudgement,
    CareVisit,
    Commission,
    CreditEntry,
    Deduction,
    Enquiry,
    EnquiryAnswer,
    EnquirySending,
    Erasure,
    Extra,
    GivenBackLater,
    HandedOver,
    HoldEnding,
    HoldTerms,
    HomeClimate,
    Lead,
    LeadPhoto,
    LinkSending,
    MoverBooking,
    OfferCalculation,
    Paper,
    PaperSignature,
    Payment,
    PaymentPlan,
    PayOut,
    Person,
    PersonExport,
    PhotoLink,
    PlanStage,
    Promise,
    Purchase,
    Quote,
    QuoteTakenBack,
    Receipt,
    ReminderAttempt,
    ReminderResult,
    Removal,
    RepairAsked,
    RepairBack,
    Sale,
    SaleAgreed,
    SaleCare,
    SaleDelivery,
    SaleEnding,
    SaleNotice,
    SaleOrReturn,
    SellerPayment,
    StageReached,
    TakenIn,
    Telling,
    Trial,
    TrialCollection,
    TrialDelivery,
    TrialExtension,
    VisitRecord,
    WaitingPlace,
    Wanted,
    Wish,
)
from shop.person_papers import papers_of
from workorders.models import WorkOrder

# Numbers, fingerprints and names of parts: no words about anybody, whatever the row.
STAYS = {
    *("number", "credit_note", "own_number", "document", "part", "part_name", "media_type", "seed"),
    *("sha256", "content_hash", "wording_sha256", "token_sha256", "row_sha256", "file_sha256", "mark_sha256"),
}
ERASED = "erased"  # stands in brackets where words stood
BOOKS = "books"
AGREED = "agreed"
CARE = "care"
NOW = "now"
WHY = {
    BOOKS: "The books: payments, credit, purchases, sales and the lines of the stock book",
    AGREED: "What was agreed: holds, home trials, sales and work, with their papers and signatures",
    CARE: "After-care: what was done, what was called back about, what the guarantee said",
}


@dataclass(frozen=True)
class Rows:
    """One kind. `paths` lead from a row to a card; `find` where no path does."""

    model: type[models.Model]
    paths: tuple[str, ...] = ()
    goes: str = AGREED
    stays: tuple[str, ...] = ()
    deleted: bool = False
    kept_back: str = ""  # why it is not handed out
    columns_kept_back: tuple[str, ...] = ()
    find: Callable[[Person], QuerySet] | None = None
    called: str = ""

    @property
    def title(self) -> str:
        return self.called or str(self.model._meta.verbose_name)

    def of(self, person: Person) -> QuerySet:
        if self.find:
            return self.find(person).order_by("pk")
        theirs = Q()
        for path in self.paths:
            theirs |= Q(**{f"{path}__in": person.rows()})
        return self.model._default_manager.filter(theirs).order_by("pk")

    @property
    def words(self) -> list[str]:
        """The columns that are cleared when the row's day has come."""
        return [each.name for each in text_columns(self.model) if each.name not in STAYS | set(self.stays)]


def text_columns(model: type[models.Model]) -> list[models.Field]:
    kinds = (models.CharField, models.TextField, models.JSONField)
    return [each for each in model._meta.concrete_fields if isinstance(each, kinds) and not each.choices]


def _leads(person: Person) -> QuerySet:
    return _theirs(Lead, person)


def enquiries_of(person: Person) -> QuerySet:
    return _theirs(Enquiry, person)


def _theirs(model: type[models.Model], person: Person) -> QuerySet:
    """Those on the card, and those with the same telephone or address that nobody put on file."""
    theirs = Q(person__in=person.rows())
    for card in person.rows():
        if card.telephone:
            theirs |= Q(person=None, telephone=card.telephone)
        if card.email:
            theirs |= Q(person=None, email__iexact=card.email)
    return model._default_manager.filter(theirs)


def _of_enquiries(model, path: str) -> Callable[[Person], QuerySet]:
    return lambda person: model.objects.filter(**{f"{path}__in": enquiries_of(person)})


def _of_leads(model, path: str) -> Callable[[Person], QuerySet]:
    return lambda person: model.objects.filter(**{f"{path}__in": _leads(person)})


def _documents(person: Person) -> QuerySet:
    """Scans that came from them: the signed page, the seller's invoice, the letter of approval."""
    cards = person.rows()
    return Document.objects.filter(
        Q(pk__in=Purchase.objects.filter(seller__in=cards).values("scan"))
        | Q(pk__in=Approval.objects.filter(quote__commission__person__in=cards).values("document"))
        | Q(pk__in=PaperSignature.objects.filter(paper__in=papers_of(person).values("pk")).values("document"))
        | Q(pk__in=AccessSurvey.objects.filter(trial__person__in=cards).values("picture"))
    )


def _told(person: Person) -> QuerySet:
    """What they told of an instrument, by the name that was written beside it."""
    names = Q()
    for card in person.rows():
        names |= Q(told_by__iexact=card.name)
    return Statement.objects.filter(names)


QUOTED = ("quote__commission__person",)
OF_SALE = ("sale__person",)
OF_TRIAL = ("trial__person",)
OF_PROMISE = ("promise__person",)
COSTS = ("cost_minor", "tax_minor", "input_tax_minor", "treatment", "rate_percent")

ROWS = (
    Rows(Telling, ("wanted__person",), NOW, deleted=True, called="that they were told of what came in"),
    Rows(Wanted, ("person",), NOW, deleted=True),
    Rows(WaitingPlace, ("person",), NOW, deleted=True),
    Rows(LeadPhoto, goes=NOW, deleted=True, find=_of_leads(LeadPhoto, "lead")),
    Rows(PhotoLink, goes=NOW, find=_of_leads(PhotoLink, "lead"), kept_back="an address that lets files in"),
    Rows(LinkSending, goes=NOW, find=_of_leads(LinkSending, "link__lead"), kept_back="counts files alone"),
    Rows(OfferCalculation, goes=NOW, find=_of_leads(OfferCalculation, "lead"), kept_back="our own costs"),
    Rows(Lead, goes=NOW, stays=("maker", "serial"), find=_leads),
    Rows(EnquirySending, goes=NOW, find=_of_enquiries(EnquirySending, "answer__enquiry")),
    Rows(EnquiryAnswer, goes=NOW, find=_of_enquiries(EnquiryAnswer, "enquiry")),
    Rows(Enquiry, goes=NOW, find=enquiries_of),
    Rows(
        Statement,
        goes=NOW,
        stays=("text", "dated", "place", "source_note", "who", "supersede_reason"),
        find=_told,
        called="their name beside what they told of an instrument",
    ),
    Rows(ReminderAttempt, OF_PROMISE, NOW, called="e-mail address a reminder went to"),
    Rows(ReminderResult, ("attempt__promise__person",), NOW, called="answer of the mail server"),
    Rows(
        CareVisit, ("sale__person", "call_back__person"), NOW, called="where a visit went, and how to get in"
    ),
    Rows(Payment, ("person",), BOOKS),
    Rows(CreditEntry, ("person",), BOOKS),
    Rows(Receipt, ("payment__person",), BOOKS),
    Rows(GivenBackLater, ("payment__person",), BOOKS),
    Rows(Deduction, OF_PROMISE, BOOKS),
    Rows(Purchase, ("seller",), BOOKS),
    Rows(PayOut, ("agreement__owner",), BOOKS),
    Rows(SellerPayment, ("purchase__seller",), BOOKS),
    Rows(
        BookLine,
        ("purchase__seller", "sale__person", "payment__person"),
        BOOKS,
        stays=("description",),
        columns_kept_back=COSTS,
    ),
    Rows(Sale, ("person",), BOOKS),
    Rows(SaleEnding, OF_SALE, BOOKS),
    Rows(Paper, goes=AGREED, find=papers_of),
    Rows(
        PaperSignature,
        find=lambda person: PaperSignature.objects.filter(paper__in=papers_of(person).values("pk")),
    ),
    Rows(Document, find=_documents),
    Rows(Promise, ("person",)),
    Rows(HoldTerms, OF_PROMISE),
    Rows(HoldEnding, OF_PROMISE),
    Rows(Trial, ("person",)),
    Rows(TrialExtension, OF_TRIAL),
    Rows(AccessSurvey, OF_TRIAL),
    Rows(MoverBooking, OF_TRIAL),
    Rows(TrialDelivery, OF_TRIAL),
    Rows(HomeClimate, OF_TRIAL),
    Rows(TrialCollection, OF_TRIAL),
    Rows(TakenIn, ("person",)),
    Rows(SaleOrReturn, ("owner",)),
    Rows(Commission, ("person",)),
    Rows(
        WorkOrder,
        stays=("title", "touch_reason"),
        find=lambda person: WorkOrder.objects.filter(commission__person__in=person.rows()),
        kept_back="what the bench writes to itself",
    ),
    Rows(Quote, ("commission__person",)),
    Rows(Wish, QUOTED),
    Rows(Extra, QUOTED),
    Rows(Approval, QUOTED),
    Rows(QuoteTakenBack, QUOTED),
    Rows(SaleAgreed, OF_SALE),
    Rows(SaleDelivery, OF_SALE),
    Rows(HandedOver, OF_SALE),
    Rows(SaleNotice, OF_SALE),
    Rows(RepairAsked, OF_SALE),
    Rows(RepairBack, ("asked__sale__person",)),
    Rows(PaymentPlan, OF_SALE),
    Rows(PlanStage, ("plan__sale__person",)),
    Rows(StageReached, ("stage__plan__sale__person",)),
    Rows(SaleCare, OF_SALE, CARE, stays=("terms",)),
    Rows(CallBack, ("person",), CARE),
    Rows(CallBackAnswer, ("call_back__person",), CARE),
    Rows(CallBackJudgement, ("call_back__person",), CARE),
    Rows(VisitRecord, ("visit__sale__person", "visit__call_back__person"), CARE),
)
# Kinds that lead to a person and are neither handed out nor cleared, each with its reason.
LEFT_OUT = {
    Person: "the card itself: handed out first, and emptied at once",
    PersonExport: "says only that and when their data was handed out",
    Erasure: "says only what was erased and until when the rest is kept",
    Removal: "says only that words or a file went when their day had come",
}
