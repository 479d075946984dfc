"""Lines of the books: each written in the transaction of the purchase, sale or fee that it tells of.

Numbers run without a gap over all lines. What turns out wrong is taken back by a line of its own, dated in
the open period, and what is right is entered after it.
"""

from datetime import date
from decimal import Decimal

from django.db.models import QuerySet

from instruments.actions.numbers import next_in
from instruments.models import Instrument
from instruments.models.worded import ASKED, of_one
from instruments.problems import refuse_if_blocked
from shop.book_problems import dating_problems, is_closed
from shop.calc.sale_tax import SaleTax, tax_on_sale, treatment_of, treatment_of_fee
from shop.models import BookLine, Payment, Person, Purchase, Sale, ShopProfile
from shop.states import LineKind, PurchaseRoute
from shop.tax_rates import tax_rate_on

SERIES, ONE_SERIES = "book line", 0  # one series over all years
PARTY = ("party", "party_address")
LATE = "Entered late: the period of its own day is closed."


def enter_purchase(purchase: Purchase, *, on: date) -> BookLine:
    """The line of what was bought; what an earlier row of it said is taken back first."""
    by = purchase.recorded_by
    sold = _standing(LineKind.SOLD, purchase.instrument)
    bought = _standing(LineKind.BOUGHT, purchase.instrument)
    if bought and _says_the_same(bought, purchase):
        return bought
    if bought:
        take_back(bought, why="The purchase was corrected.", by=by, on=on)
    day = purchase.bought_on or on
    late = is_closed(day)
    line = _write(
        kind=LineKind.BOUGHT,
        instrument=purchase.instrument,
        happened_on=purchase.bought_on,
        entered_on=on if late else day,
        purchase=purchase,
        document=purchase.invoice_number,
        cost_minor=cost_of(purchase),
        input_tax_minor=purchase.vat_minor or 0,
        why=LATE if late else "",
        by=by,
        **_party(purchase.seller),
    )
    if sold and sold.cost_minor != line.cost_minor:
        _enter_sale_again(sold, on=on, by=by)
    return line


def enter_sale(sale: Sale, taxed: tuple[SaleTax, Decimal, str]) -> BookLine:
    """The line of what was sold, taxed by the scheme of today at the rate of the day of the sale.

    `taxed` is what `tax_of_sale` said of it.
    """
    tax, rate, why = taxed
    return _write_sale(sale, tax, rate, why=why, entered_on=sale.sold_on, by=sale.recorded_by)


def enter_fee(
    *,
    instrument: Instrument,
    person: Person,
    amount_minor: int,
    description: str,
    document: str = "",
    payment: Payment | None = None,
    by,
    on: date,
) -> BookLine:
    """Delivery, hire or work, tax included: taxed in full, whatever the scheme for goods."""
    refuse_if_blocked(dating_problems(on))
    profile = ShopProfile.current()
    treatment, rate = treatment_of_fee(profile.tax_scheme), tax_rate_on(profile, on)
    tax = tax_on_sale(treatment, price_minor=amount_minor, cost_minor=None, rate=rate)
    return _write(
        kind=LineKind.FEE,
        instrument=instrument,
        happened_on=on,
        entered_on=on,
        payment=payment,
        document=document,
        description=description,
        by=by,
        **_taxed(tax, rate),
        **_party(person),
    )


def lessen_fees(lines: QuerySet, amount_minor: int, *, why: str, by, on: date) -> None:
    """Take fees back, the newest first, until so much is; what is left of the last is entered again."""
    for line in lines.order_by("-number"):
        if amount_minor <= 0:
            return
        take_back(line, why=why, by=by, on=on)
        if (left := line.gross_minor - amount_minor) > 0:
            rate = (line.rate_percent or Decimal(0)) / 100
            tax = tax_on_sale(line.treatment, price_minor=left, cost_minor=None, rate=rate)
            same = (
                "instrument",
                "payment",
                "party",
                "party_address",
                "document",
                "description",
                "happened_on",
            )
            kept = {name: getattr(line, name) for name in same}
            _write(kind=LineKind.FEE, entered_on=on, by=by, **kept, **_taxed(tax, rate))
        amount_minor -= line.gross_minor


def take_back(line: BookLine, *, why: str, document: str = "", by, on: date) -> BookLine:
    """The same line with its signs turned, in the open period."""
    refuse_if_blocked(dating_problems(on))
    same = (
        *("kind", "instrument", "purchase", "sale", "payment"),
        *("description", "treatment", "rate_percent", *PARTY),
    )
    turned = ("cost_minor", "gross_minor", "tax_minor", "input_tax_minor")
    return _write(
        happened_on=on,
        entered_on=on,
        corrects=line,
        document=document or line.document,
        why=why,
        by=by,
        **{name: getattr(line, name) for name in same},
        **{name: _turned(getattr(line, name)) for name in turned},
    )


def tax_of_sale(instrument: Instrument, price_minor: int, *, on: date) -> tuple[SaleTax, Decimal, str]:
    """The tax a sale on that day bears, the rate, and why it is not taxed as the shop's scheme has it."""
    profile, purchase = ShopProfile.current(), _newest_purchase(instrument.pk).alone().first()
    cost = cost_of(purchase)
    treatment, why = treatment_of(profile.tax_scheme, cost_minor=cost, purchase_shows_vat=shows_vat(purchase))
    rate = tax_rate_on(profile, on)
    return tax_on_sale(treatment, price_minor=price_minor, cost_minor=cost, rate=rate), rate, why


@of_one
def _newest_purchase() -> QuerySet[Purchase]:
    return Purchase.objects.filter(instrument=ASKED)[:1]


def cost_of(purchase: Purchase | None) -> int | None:
    """The price paid to the seller and nothing else; a gift cost nothing. None while it is not recorded."""
    if purchase is None:
        return None
    if purchase.price_minor is None and purchase.route == PurchaseRoute.GIFT:
        return 0
    return purchase.price_minor


def shows_vat(purchase: Purchase | None) -> bool:
    return purchase is not None and purchase.vat_shown


def book_line_of(sale: Sale) -> BookLine | None:
    """The line a sale stands in now; after it has ended, the one it stood in last."""
    return sale.book_lines.filter(corrects__isnull=True).order_by("-number").first()


def _says_the_same(line: BookLine, purchase: Purchase) -> bool:
    """Whether a correction, such as of its note, changes nothing that the books tell."""
    party = _party(purchase.seller)
    told = (line.cost_minor, line.input_tax_minor, line.document, line.happened_on)
    return line.party == party.get("party", "") and told == (
        cost_of(purchase),
        purchase.vat_minor or 0,
        purchase.invoice_number,
        purchase.bought_on,
    )


def _enter_sale_again(sold: BookLine, *, on: date, by) -> None:
    """What was paid for it turned out otherwise: the margin of the sale is another one, at the same rate."""
    sale, cost = sold.sale, cost_of(sold.instrument.purchases.first())
    take_back(sold, why="What was paid for it was corrected.", by=by, on=on)
    rate = (sold.rate_percent or Decimal(0)) / 100
    scheme = sold.treatment if sold.cost_minor is not None else ShopProfile.current().tax_scheme
    shown = shows_vat(sold.instrument.purchases.first())
    treatment, why = treatment_of(scheme, cost_minor=cost, purchase_shows_vat=shown)
    tax = tax_on_sale(treatment, price_minor=sale.price_minor, cost_minor=cost, rate=rate)
    _write_sale(sale, tax, rate, why=why, entered_on=on, by=by)


def _write_sale(sale: Sale, tax: SaleTax, rate: Decimal, *, why: str, entered_on: date, by) -> BookLine:
    return _write(
        kind=LineKind.SOLD,
        instrument=sale.instrument,
        happened_on=sale.sold_on,
        entered_on=entered_on,
        sale=sale,
        document=sale.number,
        cost_minor=tax.cost_minor,
        why=why,
        by=by,
        **_taxed(tax, rate),
        **_party(sale.person),
    )


def _taxed(tax: SaleTax, rate: Decimal) -> dict:
    return {
        "treatment": tax.treatment,
        "rate_percent": rate * 100,
        "gross_minor": tax.gross_minor,
        "tax_minor": tax.tax_minor,
    }


def _party(person: Person | None) -> dict:
    if person is None:
        return {}
    card = person.standing_card
    return {"party": card.name, "party_address": card.address}


def _standing(kind: str, instrument: Instrument) -> BookLine | None:
    return instrument.book_lines.standing().filter(kind=kind).order_by("-number").first()


def _turned(amount: int | None) -> int | None:
    return None if amount is None else -amount


def description_of(instrument: Instrument) -> str:
    words = [str(instrument), f"serial {instrument.serial}" if instrument.serial else ""]
    return ", ".join(filter(None, words))[:300]


def _write(*, instrument: Instrument, by, description: str = "", **fields) -> BookLine:
    return BookLine.objects.create(
        number=next_in(SERIES, year=ONE_SERIES),
        instrument=instrument,
        description=description or description_of(instrument),
        recorded_by=by,
        **fields,
    )
