"""The agreement with an owner: gathered from the record, printed once, and kept as printed."""

from django.db import transaction

from instruments.documents.content import Fact, MoneyLine
from instruments.documents.dates import day_in_words
from instruments.kept_files import StoredFile
from instruments.models import Instrument
from shop.actions.papers import shop_party, stored_paper
from shop.actions.purchase_papers import party_of, told_apart
from shop.documents.purchase_invoice import OwnersAgreement, build_owners_agreement
from shop.models import Paper, SaleOrReturn, ShopProfile
from shop.states import PaperKind
from workorders.currency import in_words

CLAUSES = (
    "The instrument stays the owner’s until the shop has sold it; at that moment the shop buys it from the "
    "owner for the owner’s part, and sells it.",
    "The owner declares that it is theirs alone to sell, and that nobody else has a claim on it.",
    "The shop keeps it with the care it gives its own stock, offers it, and describes it as it stands.",
    "The owner may have it back on seven days’ notice while it is promised to nobody, and fetches it at "
    "their cost.",
    "Work that changes it, or that the owner is to pay for, is agreed in writing first.",
    "Each says in writing who insures it while it is in the shop; their name and the policy stand beside the "
    "signatures.",
)


def owners_agreement_paper(*, agreement: SaleOrReturn, by) -> Paper:
    """As it was printed first; printed now if it never was. Never inside a transaction."""
    if kept := kept_agreement(agreement):
        return kept
    pdf = build_owners_agreement(agreement_of(agreement))
    with stored_paper(agreement.number, pdf) as stored:
        return _keep(agreement, stored, by)


def agreement_of(agreement: SaleOrReturn) -> OwnersAgreement:
    instrument = agreement.instrument
    lent = "Home trials are agreed to." if agreement.may_be_lent else "It is not lent out on home trial."
    return OwnersAgreement(
        number=agreement.number,
        agreed_on=agreement.begins_on,
        shop=shop_party(ShopProfile.current()),
        owner=party_of(agreement.owner),
        stock_number=instrument.stock_number,
        description=f"{instrument.maker_name}: {instrument.sentence}",
        facts=told_apart(instrument),
        money=(
            MoneyLine("The owner gets", part_words(agreement)),
            MoneyLine("Not to be sold for less than", in_words(agreement.least_minor)),
        ),
        days=(
            Fact("From", day_in_words(agreement.begins_on)),
            Fact("Until", day_in_words(agreement.until)),
            Fact("Paid out", f"{agreement.payout_days} days after the sale"),
        ),
        clauses=(*CLAUSES, lent),
        special=agreement.terms,
    )


def part_words(agreement: SaleOrReturn) -> str:
    if agreement.net_minor is not None:
        return in_words(agreement.net_minor)
    return f"{agreement.share_percent} %"


def kept_agreement(agreement: SaleOrReturn) -> Paper | None:
    papers = Paper.objects.filter(kind=PaperKind.SALE_OR_RETURN, instrument=agreement.instrument_id)
    return papers.filter(number=agreement.number).first()


@transaction.atomic
def _keep(agreement: SaleOrReturn, stored: StoredFile, by) -> Paper:
    Instrument.objects.select_for_update().get(pk=agreement.instrument_id)
    if kept := kept_agreement(agreement):
        return kept  # somebody else printed it in the meantime
    paper = Paper.objects.create(
        kind=PaperKind.SALE_OR_RETURN,
        number=agreement.number,
        instrument=agreement.instrument,
        facts={
            "owner": agreement.owner.name,
            "part": part_words(agreement),
            "least_minor": agreement.least_minor,
            "until": agreement.until.isoformat(),
        },
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper
