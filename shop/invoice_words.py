"""What an invoice or a credit note says of a sale, from its line in the books and from the ledger."""

from datetime import date

from instruments.documents.content import MoneyLine
from instruments.models import Instrument
from instruments.states import MadeBasis
from shop.actions.ledger import still_to_pay
from shop.actions.papers import person_party, shop_party
from shop.actions.stock_book import book_line_of
from shop.calc.margin import SCHEME_WORDING, scheme_label
from shop.calc.sale_tax import MARGIN_SCHEMES
from shop.documents.invoice import Invoice
from shop.models import BookLine, Sale, ShopProfile
from shop.states import PaymentMethod, TaxScheme
from workorders.currency import in_words

EU_WORDING = {  # Directive 2006/112/EC art 226(14)
    "second-hand": "Margin scheme - Second-hand goods",
    "antique": "Margin scheme - Collector’s items and antiques",
}
NOT_SHOWN = "VAT is not shown on a sale under the margin scheme, and the buyer cannot reclaim any."
NOT_REGISTERED = "We are not registered for VAT or sales tax; none is charged."
PART_EXCHANGE_KEPT = (
    "What came in part exchange is kept as it came while the goods may still be rejected. "
    "This paper changes no right that a consumer has by law."
)


def age_label(instrument: Instrument, sold_on: date) -> str:
    """Second-hand or antique by its dates; by a person's choice where they leave both open; else ""."""
    documented = instrument.made_basis not in {"", MadeBasis.TOLD, MadeBasis.STYLE}
    by_dates = scheme_label(instrument.made, sold_on, documented=documented)
    if by_dates:
        return by_dates
    choice = instrument.age_choices.first()
    return choice.label if choice else ""


def invoice_of(sale: Sale, *, on: date) -> Invoice:
    line = book_line_of(sale)
    return Invoice(
        title="Invoice",
        number=sale.number,
        dated=on,
        facts=_facts(sale, line, ("Date of supply", f"{sale.sold_on:%-d %B %Y}")),
        sums=_sums(line, sign=1),
        wording=wording_of(line, age_label(sale.instrument, sale.sold_on)),
        payments=_payments(sale),
        closing=PART_EXCHANGE_KEPT if sale.promise.part_exchanges.exists() else "",
        **_heads(sale),
    )


def credit_note_of(sale: Sale) -> Invoice:
    line, ending = book_line_of(sale), sale.ending
    return Invoice(
        title="Credit note",
        number=ending.credit_note,
        dated=ending.ended_on,
        facts=_facts(sale, line, ("Invoice credited", f"{sale.number} of {sale.sold_on:%-d %B %Y}")),
        sums=_sums(line, sign=-1),
        wording=wording_of(line, age_label(sale.instrument, sale.sold_on)),
        payments=(
            MoneyLine("Paid until then", in_words(ending.paid_minor)),
            MoneyLine("Given back as money", in_words(ending.given_back_minor)),
        ),
        closing=f"{ending.get_kind_display()}: {ending.reason}",
        **_heads(sale),
    )


def wording_of(line: BookLine, label: str) -> tuple[str, ...]:
    if line.treatment == TaxScheme.MARGIN:
        return (SCHEME_WORDING[label].capitalize(), NOT_SHOWN) if label else ()
    if line.treatment == TaxScheme.MARGIN_EU:
        return (EU_WORDING[label], NOT_SHOWN) if label else ()
    return (NOT_REGISTERED,) if line.treatment == TaxScheme.NONE else ()


def facts_of(invoice: Invoice, line: BookLine) -> dict:
    """What is kept with the paper as plain values."""
    return {
        "number": invoice.number,
        "dated": invoice.dated.isoformat(),
        "customer": invoice.customer.name,
        "line": line.number,
        "treatment": line.treatment,
        "gross_minor": line.gross_minor,
        "tax_minor": line.tax_minor,
        "wording": list(invoice.wording),
    }


def _heads(sale: Sale) -> dict:
    profile = ShopProfile.current()
    return {
        "shop": shop_party(profile),
        "vat_number": profile.vat_number,
        "customer": person_party(sale.person),
        "description": _description(sale.instrument),
    }


def _description(instrument: Instrument) -> str:
    parts = (
        f"{instrument.maker_name} {instrument.model}".strip(),
        instrument.get_kind_display().lower() + " piano",
        f"serial {instrument.serial}" if instrument.serial else "no serial found",
        instrument.compass_words,
    )
    return ", ".join(filter(None, parts))


def _facts(sale: Sale, line: BookLine, further: tuple[str, str]) -> tuple[tuple[str, str], ...]:
    registered = line.treatment not in {TaxScheme.NONE, TaxScheme.SALES_TAX}
    return (
        further,
        ("Stock book number", sale.instrument.stock_number),
        ("Line of the stock book", str(line.number)),
        ("Our VAT number", ShopProfile.current().vat_number if registered else ""),
    )


def _sums(line: BookLine, *, sign: int) -> tuple[MoneyLine, ...]:
    """Under a margin scheme the whole price alone; else what it is made of."""
    total = "Total" if sign > 0 else "Total credited"
    gross = MoneyLine(total, in_words(sign * line.gross_minor), strong=True)
    if line.treatment in MARGIN_SCHEMES or line.treatment == TaxScheme.NONE:
        return (gross,)
    name = "Sales tax" if line.treatment == TaxScheme.SALES_TAX else "VAT"
    net_name = "Price" if line.treatment == TaxScheme.SALES_TAX else "Price less VAT"
    return (
        MoneyLine(net_name, in_words(sign * line.net_minor)),
        MoneyLine(f"{name} at {line.rate_percent.normalize():f} %", in_words(sign * line.tax_minor)),
        gross,
    )


def _payments(sale: Sale) -> tuple[MoneyLine, ...]:
    promise = sale.promise
    lines = [
        MoneyLine(
            f"Allowed for {each.instrument} in part exchange",
            in_words(-each.price_minor),
            each.invoice_number,
        )
        for each in promise.part_exchanges.filter(corrected_by__isnull=True, price_minor__gt=0)
    ]
    by_money = promise.payments.toward_price().exclude(method=PaymentMethod.PART_EXCHANGE)
    lines += [
        MoneyLine(f"Paid {each.paid_on:%-d %B %Y}", in_words(-each.amount_minor), each.get_method_display())
        for each in by_money
    ]
    lines += [
        MoneyLine(f"Out of credit {each.entered_on:%-d %B %Y}", in_words(each.amount_minor), each.note)
        for each in promise.credit_entries.filter(amount_minor__lt=0)
    ]
    return (*lines, MoneyLine("Still to pay", in_words(still_to_pay(promise)), strong=True))
