"""What after-care leaves in the record: terms agreed, visits written up, call-backs judged."""

from shop.models import CallBackAnswer, CallBackJudgement, SaleCare, VisitRecord
from shop.visit_words import visit_lines
from shop.written_kinds import Kind, sentence


def _agreed(row: SaleCare, user) -> str:
    terms = row.care
    parts = f"{len(terms.covered)} parts guaranteed, {terms.included_tunings} tunings in the price"
    return sentence(f"{row.sale.number}: {parts}", "" if row.reminds else "Not reminded", row.why)


def _visit(row: VisitRecord, user) -> str:
    again = "Written up again" if row.corrects_id else ""
    return sentence(
        f"{row.visit.number}, {row}", *(words for _, words in visit_lines(row)), row.advice, row.note, again
    )


def _judged(row: CallBackJudgement, user) -> str:
    return sentence(str(row), row.why)


def _answered(row: CallBackAnswer, user) -> str:
    return sentence(f"{row} on {row.answered_on:%-d %B %Y}", row.words)


CARE_KINDS = (
    Kind(SaleCare, _agreed, path="sale__instrument", right="shop.see_people", beside=("sale",)),
    Kind(VisitRecord, _visit, path="visit__instrument", beside=("visit", "visit__instrument")),
    Kind(
        CallBackJudgement,
        _judged,
        path="call_back__instrument",
        right="shop.see_people",
        beside=("call_back",),
    ),
    Kind(
        CallBackAnswer,
        _answered,
        path="call_back__instrument",
        right="shop.see_people",
        beside=("call_back",),
    ),
)
