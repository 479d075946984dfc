"""Rows that are only ever added: each kind with who wrote it and when, and what it says in a line."""

from django.db.models import Model

from instruments.models import (
    ClimateReading,
    Document,
    Evidence,
    Finding,
    KeyLead,
    KeyLeadTakenOut,
    KeyMark,
    KeyMarkClearing,
    LeverMeasure,
    Move,
    PinSurvey,
    PitchSurvey,
    RaiseChoice,
    Sighting,
    Statement,
    Weighing,
    WeighingClosing,
    WireSurvey,
)
from instruments.standings import quoted
from shop.buying_record import BUYING_KINDS
from shop.care_record import CARE_KINDS
from shop.commission_record import COMMISSION_KINDS
from shop.credit_record import CREDIT_KINDS
from shop.enquiry_record import ENQUIRY_KINDS
from shop.hold_record import HOLD_KINDS
from shop.models import (
    AgeChoice,
    AskingPrice,
    BookLine,
    Clearance,
    CostEstimate,
    CostLine,
    HistoryIssue,
    Paper,
    PaperSignature,
    Payment,
    Publication,
    Purchase,
    Sale,
    SaleEnding,
)
from shop.sale_record import SALE_KINDS
from shop.states import LineKind, PaymentPurpose
from shop.trial_record import TRIAL_KINDS
from shop.written_kinds import Kind, sentence
from workorders.currency import in_words
from workorders.models import ItemNote, OutsideBill, PartUsed, ProposalAnswer, TimeSpent, WorkProposal


def _statement(row: Statement, user) -> str:
    teller = f" by {row.told_by}" if row.told_by and user.has_perm("shop.see_people") else ""
    correction = f"It replaces “{quoted(row.supersedes.text)}”" if row.supersedes else ""
    return sentence(
        f"{row.get_topic_display()}: “{quoted(row.text)}”",
        f"{row.get_grade_display()}{teller}, {'public' if row.is_public else 'kept to ourselves'}",
        correction,
        row.supersede_reason,
    )


def _evidence(row: Evidence, user) -> str:
    words = f"Taken back: {row.note}" if row.retracts_id else str(row)
    return sentence(words, f"On “{quoted(row.statement.text)}”")


def _sighting(row: Sighting, user) -> str:
    return sentence(str(row), row.note, "With a photograph" if row.photo_id else "")


def _finding(row: Finding, user) -> str:
    return sentence(str(row), row.note, row.value_words, f"Keys {row.keys}" if row.keys else "")


def _key_mark(row: KeyMark, user) -> str:
    return sentence(str(row), row.note, "With a photograph" if row.photo_id else "")


def _key_mark_clearing(row: KeyMarkClearing, user) -> str:
    return sentence(str(row), row.note)


def _weighing(row: Weighing, user) -> str:
    return sentence(str(row), row.get_stage_display(), row.note)


def _as_named(row: Model, user) -> str:
    return str(row)


def _lead(row: KeyLead, user) -> str:
    return sentence(str(row), "Found in the key" if row.was_found else "Put in by us")


def _survey(row, user) -> str:
    return sentence(str(row), row.air_words, row.note)


def _choice(row: RaiseChoice, user) -> str:
    return sentence(f"The owner chose: {row.get_way_display().lower()}", row.note)


def _climate(row: ClimateReading, user) -> str:
    return sentence(str(row), row.note)


def _move(row: Move, user) -> str:
    return sentence(f"{row.get_place_display()} from {row.moved_on:%-d %B %Y}", row.note)


def _document(row: Document, user) -> str:
    return sentence(row.title, row.original_name, f"SHA-256 {row.sha256[:16]}")


def _price(row: AskingPrice, user) -> str:
    return sentence(in_words(row.amount_minor), row.reason)


def _clearance(row: Clearance, user) -> str:
    return sentence(row.found, row.how, row.other_found, row.reference, row.certificate, row.permit, row.note)


def _purchase(row: Purchase, user) -> str:
    price = in_words(row.price_minor) if row.price_minor is not None else "no price given"
    seller = f"from {row.seller}" if row.seller and user.has_perm("shop.see_people") else ""
    corrected = "It corrects an earlier entry" if row.corrects_id else ""
    return sentence(" ".join(filter(None, [row.get_route_display(), price, seller])), row.note, corrected)


def _estimate(row: CostEstimate, user) -> str:
    return sentence(f"{row.get_kind_display()} expected to come to {in_words(row.amount_minor)}", row.note)


def _cost(row: CostLine, user) -> str:
    return sentence(f"{row.get_kind_display()} {in_words(row.amount_minor)}", row.note)


def _time(row: TimeSpent, user) -> str:
    name = row.person.get_full_name() or row.person.get_username()
    taken_back = "taken back" if row.minutes < 0 else "spent"
    return sentence(f"{row.item.name}: {abs(row.minutes)} min {taken_back}, {name}", row.note)


def _part(row: PartUsed, user) -> str:
    shows = row.cost_minor is not None and user.has_perm("shop.see_costs")
    return sentence(f"{row.item.name}: {row}", in_words(row.cost_minor) if shows else "")


def _outside_bill(row: OutsideBill, user) -> str:
    return sentence(f"{row.job}: {in_words(row.amount_minor)}", row.note)


def _item_note(row: ItemNote, user) -> str:
    shown = f"Photograph {row.get_moment_display().lower()}".strip() if row.photo_id else ""
    return sentence(f"{row.item.name}: {row.words or shown}", shown if row.words else "")


def _proposal(row: WorkProposal, user) -> str:
    return sentence(f"Found while at “{row.item.name}”: {row}", row.finding.note)


def _answer(row: ProposalAnswer, user) -> str:
    became = f"it became “{row.item.name}”" if row.item_id else row.reason
    return sentence(f"{row.proposal}", became)


def _payment(row: Payment, user) -> str:
    verb = "paid by" if row.amount_minor > 0 else "given back to"
    purpose = "" if row.purpose == PaymentPurpose.PRICE else f" {row.get_purpose_display().lower()}"
    how = row.get_method_display().lower()
    words = f"{in_words(abs(row.amount_minor))} {verb} {row.person}{purpose}, {how}"
    return sentence(
        words, row.reference, f"{row.receipt.title} {row.receipt.number}" if hasattr(row, "receipt") else ""
    )


def _sale(row: Sale, user) -> str:
    return sentence(f"{row.number}, {in_words(row.price_minor)}, to {row.person}", row.note)


def _history(row: HistoryIssue, user) -> str:
    return f"{row.number}, SHA-256 {row.sha256[:16]}"


def _publication(row: Publication, user) -> str:
    return str(row.words.get("headline", ""))


def _paper(row: Paper, user) -> str:
    return f"{row}, SHA-256 {row.sha256[:16]}"


def _signature(row: PaperSignature, user) -> str:
    return sentence(f"{row.paper.get_kind_display()} {row.paper.number} signed by {row}")


def _age(row: AgeChoice, user) -> str:
    return sentence(str(row), row.why)


def _book_line(row: BookLine, user) -> str:
    party = f", {row.party}" if row.party and user.has_perm("shop.see_people") else ""
    taken_back = f"It takes back line {row.corrects.number}" if row.corrects else ""
    amount = in_words(row.cost_minor or 0 if row.kind == LineKind.BOUGHT else row.gross_minor)
    return sentence(
        f"Line {row.number}, {row.get_kind_display().lower()} {amount}{party}", taken_back, row.why
    )


def _ending(row: SaleEnding, user) -> str:
    return sentence(f"{row.sale.number} ended, {row.credit_note}", row.get_kind_display(), row.reason)


KINDS = (
    Kind(Statement, _statement, beside=("supersedes",)),
    Kind(Evidence, _evidence, path="statement__instrument", beside=("statement",)),
    Kind(Sighting, _sighting, who="seen_by", beside=("tell_tale",)),
    Kind(Finding, _finding, who="found_by", several=("values",)),
    Kind(KeyMark, _key_mark, who="marked_by"),
    Kind(KeyMarkClearing, _key_mark_clearing, path="mark__instrument", who="cleared_by", beside=("mark",)),
    Kind(Weighing, _weighing, who="weighed_by"),
    Kind(
        WeighingClosing,
        _as_named,
        path="weighing__instrument",
        who="closed_by",
        at="closed_at",
        beside=("weighing",),
    ),
    Kind(LeverMeasure, _as_named, who="measured_by"),
    Kind(KeyLead, _lead),
    Kind(KeyLeadTakenOut, _as_named, path="lead__instrument", beside=("lead",)),
    Kind(PinSurvey, _survey, who="measured_by"),
    Kind(PitchSurvey, _survey, who="measured_by"),
    Kind(RaiseChoice, _choice, path="survey__instrument"),
    Kind(WireSurvey, _survey, who="measured_by"),
    Kind(ClimateReading, _climate, who="read_by"),
    Kind(Move, _move),
    Kind(Document, _document, who="added_by", at="added_at"),
    Kind(AskingPrice, _price, who="set_by"),
    Kind(Clearance, _clearance),
    Kind(Purchase, _purchase, right="shop.see_costs", beside=("seller",)),
    Kind(CostLine, _cost, right="shop.see_costs"),
    Kind(CostEstimate, _estimate, right="shop.see_costs"),
    Kind(TimeSpent, _time, path="item__order__instrument", beside=("item", "person")),
    Kind(PartUsed, _part, path="item__order__instrument", beside=("item",)),
    Kind(
        OutsideBill,
        _outside_bill,
        path="job__order__instrument",
        right="shop.see_costs",
        beside=("job__outworker",),
    ),
    Kind(ItemNote, _item_note, path="item__order__instrument", beside=("item",)),
    Kind(
        WorkProposal,
        _proposal,
        path="item__order__instrument",
        who="proposed_by",
        beside=("item", "finding"),
    ),
    Kind(
        ProposalAnswer,
        _answer,
        path="proposal__item__order__instrument",
        who="answered_by",
        beside=("proposal__finding", "item"),
    ),
    Kind(
        Payment,
        _payment,
        path="promise__instrument",
        or_path="commission__order__instrument",
        right="shop.see_people",
        beside=("person", "receipt"),
    ),
    Kind(Sale, _sale, right="shop.see_people", beside=("person",)),
    Kind(SaleEnding, _ending, path="sale__instrument", right="shop.see_people", beside=("sale",)),
    Kind(AgeChoice, _age),
    Kind(BookLine, _book_line, right="shop.see_costs", beside=("corrects",)),
    Kind(HistoryIssue, _history, who="issued_by", at="issued_at"),
    Kind(Publication, _publication, path="listing__instrument", who="published_by", at="published_at"),
    Kind(Paper, _paper, who="made_by", at="made_at", beside=("instrument",)),
    Kind(PaperSignature, _signature, path="paper__instrument", right="shop.see_people", beside=("paper",)),
    *COMMISSION_KINDS,
    *CREDIT_KINDS,
    *HOLD_KINDS,
    *BUYING_KINDS,
    *TRIAL_KINDS,
    *SALE_KINDS,
    *CARE_KINDS,
    *ENQUIRY_KINDS,
)
