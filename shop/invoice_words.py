"""What an invoice or a credit note says of a sale, from its line in the books and from the ledger."""

from datetime import date

from django.db.models import Sum

from instruments.documents.content import MoneyLine
from instruments.models import Instrument
from instruments.states import MadeBasis
from shop.actions.ledger import still_to_pay
from shop.actions.papers import person_party, shop_party
from shop.actions.stock_book import book_line_of
from shop.calc.margin import SCHEME_WORDING, scheme_label
from shop.calc.sale_tax import MARGIN_SCHEMES
from shop.cancelling_words import cancelling_of
from shop.documents.invoice import Invoice
from shop.models import BookLine, Payment, Sale, SaleEnding, ShopProfile
from shop.payment_plans import plan_of
from shop.rejecting import delivered_on
from shop.states import PaymentMethod, PaymentPurpose, TaxScheme
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
        facts=_facts(sale, line, ("Date of supply", f"{supplied_on(sale):%-d %B %Y}")),
        sums=_sums(line, sign=1),
        wording=wording_of(line, age_label(sale.instrument, sale.sold_on)),
        payments=_payments(sale),
        stages=_stages(sale, on),
        closing=PART_EXCHANGE_KEPT if sale.promise.part_exchanges.exists() else "",
        cancelling=cancelling_of(sale),
        **_heads(sale),
    )


def supplied_on(sale: Sale) -> date:
    """The day it was handed over, if that is known; else, or where they had it before, the day of the sale.

    Goods count as supplied when they are removed or made available, and those on approval when they are
    accepted (Value Added Tax Act 1994, s. 6(2), from memory; check the law in force).
    """
    had = delivered_on(sale)
    return max(had, sale.sold_on) if had else sale.sold_on


def credit_note_of(sale: Sale) -> Invoice:
    line, ending = book_line_of(sale), sale.ending
    return Invoice(
        title="Credit note",
        number=ending.credit_note,
        dated=ending.ended_on,
        facts=_facts(sale, line, ("Invoice credited", f"{sale.number} of {sale.sold_on:%-d %B %Y}")),
        sums=_sums(line, sign=-1),
        wording=wording_of(line, age_label(sale.instrument, sale.sold_on)),
        payments=_given_back(ending),
        closing=ending_words(ending),
        **_heads(sale),
    )


def _given_back(ending: SaleEnding) -> tuple[MoneyLine, ...]:
    kept = MoneyLine("Kept of it", in_words(ending.deduction_minor), ending.deduction_for)
    return (
        MoneyLine("Paid until then", in_words(ending.paid_minor)),
        *((kept,) if ending.deduction_minor else ()),
        MoneyLine("Given back as money", in_words(ending.given_back_minor)),
        *_delivery_given_back(ending),
    )


def _delivery_given_back(ending: SaleEnding) -> tuple[MoneyLine, ...]:
    """What was paid for delivery and went back with this credit note, with the VAT it bore."""
    rows = Payment.objects.filter(
        purpose=PaymentPurpose.DELIVERY, reference=ending.credit_note, amount_minor__lt=0
    )
    back = -(rows.aggregate(sum=Sum("amount_minor"))["sum"] or 0)
    if not back:
        return ()
    lines = BookLine.objects.filter(payment__in=rows.values("refunds")).order_by("number")
    first, tax_left = lines.first(), lines.aggregate(sum=Sum("tax_minor"))["sum"] or 0
    tax = first.tax_minor - tax_left if first else 0
    basis = f"of which VAT {in_words(tax)}" if tax else ""
    return (MoneyLine("Given back for delivery", in_words(back), basis),)


def ending_words(ending: SaleEnding) -> str:
    words = f"{ending.get_kind_display()}: {ending.reason.rstrip('.')}."
    if ending.told_on and ending.refund_by:
        words += f" Told on {ending.told_on:%-d %B %Y}, to be given back by {ending.refund_by:%-d %B %Y}."
    return words


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
        "description": description_of(sale.instrument),
    }


def description_of(instrument: Instrument) -> str:
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


def _stages(sale: Sale, on: date) -> tuple[MoneyLine, ...]:
    standing = plan_of(sale, on=on)
    return tuple(
        MoneyLine(row.stage.words, in_words(row.stands.amount_minor), f"{row.when}; {row.state_words}")
        for row in (standing.rows if standing else ())
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
