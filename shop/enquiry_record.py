"""What enquiries leave in the record of the piano that they were about."""

from shop.models import EnquiryAnswer
from shop.written_kinds import Kind, sentence


def _answer(row: EnquiryAnswer, user) -> str:
    return sentence(str(row), row.words)


ENQUIRY_KINDS = (
    Kind(
        EnquiryAnswer,
        _answer,
        path="enquiry__instrument",
        who="written_by",
        at="written_at",
        right="shop.see_people",
        beside=("enquiry",),
    ),
)
