"""The purchase invoice that we write: gathered from the record, printed once, and kept as printed."""

from django.db import transaction

from instruments.documents.content import Fact, MoneyLine, Party
from instruments.kept_files import StoredFile
from instruments.models import Instrument
from instruments.states import Grade
from shop.actions.papers import shop_party, stored_paper
from shop.documents.purchase_invoice import PurchaseInvoice, build_purchase_invoice
from shop.models import Paper, Person, Purchase, ShopProfile
from shop.states import PaperKind, ProtectedTold
from workorders.currency import in_words

IS_THEIRS = {
    "owner": "The instrument is mine alone, I may sell it, and nobody else has a claim on it.",
    "joint": "The instrument is mine and others’, who all agree; nobody else has a claim on it.",
    "estate": "I sell it for an estate as its executor or administrator, and may do so.",
    "agent": "I sell it for its owner, by whose written authority I may do so.",
}
MATERIAL_TOLD = {
    ProtectedTold.NONE: "As far as I know there is no ivory or other protected material in it.",
    ProtectedTold.IVORY: "There is ivory on its keys.",
    ProtectedTold.OTHER: "There is other protected material in it, named to the buyer.",
    ProtectedTold.NOT_KNOWN: "I do not know whether there is ivory or other protected material in it.",
}


def purchase_invoice_paper(*, purchase: Purchase, by) -> Paper:
    """As it was printed first; printed now if it never was. Never inside a transaction."""
    if kept := kept_invoice(purchase):
        return kept
    invoice = invoice_of(purchase)
    with stored_paper(invoice.number, build_purchase_invoice(invoice)) as stored:
        return _keep(purchase, stored, by)


def kept_invoice(purchase: Purchase) -> Paper | None:
    papers = Paper.objects.filter(kind=PaperKind.PURCHASE_INVOICE, instrument=purchase.instrument)
    return papers.filter(number=purchase.own_number, facts__purchase=purchase.pk).first()


def invoice_of(purchase: Purchase) -> PurchaseInvoice:
    profile, instrument = ShopProfile.current(), purchase.instrument
    return PurchaseInvoice(
        number=purchase.own_number,
        bought_on=purchase.bought_on,
        shop=shop_party(profile),
        seller=party_of(purchase.seller),
        stock_number=instrument.stock_number,
        description=f"{instrument.maker_name}: {instrument.sentence}",
        facts=told_apart(instrument),
        money=_money(purchase),
        declared=tuple(_declared(purchase)),
        told=tuple(_told(purchase)),
        against=_against(purchase),
        notes=(purchase.note,) if purchase.note else (),
        corrects=f"the one of {purchase.corrects.recorded_at:%-d %B %Y}" if _corrects_one(purchase) else "",
    )


def party_of(person: Person) -> Party:
    person = person.standing_card
    contacts = tuple(line for line in (person.telephone, person.email) if line)
    return Party(name=person.name, address=person.address, contacts=contacts)


def told_apart(instrument: Instrument) -> tuple[Fact, ...]:
    """What tells it from every other."""
    facts = (
        Fact("Serial", instrument.serial or "none found", instrument.serial_read_at),
        Fact(
            "Made",
            instrument.made_words if instrument.made else "not known",
            instrument.made_basis_words if instrument.made else "",
        ),
        Fact("Compass", instrument.compass_words),
        Fact("Key coverings", instrument.get_natural_covering_display()),
    )
    return tuple(fact for fact in facts if fact.value)


def _money(purchase: Purchase) -> tuple[MoneyLine, ...]:
    paid = in_words(purchase.price_minor)
    if not purchase.extras_minor:
        return (MoneyLine("Total price, with no other cost added", paid, strong=True),)
    return (
        MoneyLine("Instrument", in_words(purchase.price_minor - purchase.extras_minor)),
        MoneyLine("Carriage, packing, commission charged by the seller", in_words(purchase.extras_minor)),
        MoneyLine("Total price, with no other cost added", paid, strong=True),
    )


def _declared(purchase: Purchase):
    if words := IS_THEIRS.get(purchase.right_to_sell):
        yield words
    yield "I do not sell it in the course of a business, and charge no VAT."
    if words := MATERIAL_TOLD.get(purchase.protected_told):
        yield words
    clearance = purchase.instrument.clearances.first()
    if clearance and clearance.reference:
        yield f"Registration or certificate of its ivory: {clearance.reference}."


def _told(purchase: Purchase):
    told = purchase.instrument.statements.current().filter(
        grade=Grade.TOLD, told_by=purchase.seller.name, told_on=purchase.bought_on
    )
    return [statement.text for statement in told[:12]]


def _against(purchase: Purchase) -> str:
    promise = purchase.allowed_against
    if promise is None:
        return ""
    sold = promise.instrument
    return (
        f"Allowed in part exchange against our sale {promise.sale.number} of {sold.maker_name} "
        f"{sold.stock_number}, whose full price is {in_words(promise.price_minor)}. It is kept as it came "
        "while that sale may still be rejected."
    )


def _corrects_one(purchase: Purchase) -> bool:
    return purchase.corrects is not None and purchase.corrects.own_number == purchase.own_number


@transaction.atomic
def _keep(purchase: Purchase, stored: StoredFile, by) -> Paper:
    Instrument.objects.select_for_update().get(pk=purchase.instrument_id)
    if kept := kept_invoice(purchase):
        return kept  # somebody else printed it in the meantime
    paper = Paper.objects.create(
        kind=PaperKind.PURCHASE_INVOICE,
        number=purchase.own_number,
        instrument=purchase.instrument,
        facts={
            "purchase": purchase.pk,
            "seller": purchase.seller.name,
            "price_minor": purchase.price_minor,
            "bought_on": purchase.bought_on.isoformat(),
        },
        made_by=by,
        **stored.fields,
    )
    stored.keep()
    return paper
