"""What the receipt of one payment says, from the rows of the ledger up to that payment."""

from instruments.documents.content import MoneyLine
from instruments.models import Instrument
from shop.actions.papers import person_party, shop_party
from shop.calc.receipt import Stood, stood
from shop.documents.receipt import ReceiptPaper
from shop.hold_words import terms_words
from shop.invoice_words import NOT_REGISTERED, description_of, ending_words
from shop.models import BookLine, CreditEntry, Payment, Promise, Receipt, ShopProfile
from shop.refund_lines import kept_lines_of, refunded_lines
from shop.states import PaymentMethod, PaymentPurpose, PromiseKind, TaxScheme
from workorders.currency import in_words

NO_VAT_INVOICE = "This is a {paper} and no VAT invoice. What VAT the instrument bears stands on its invoice."
FEE_WITH_VAT = "This is a {paper} and no VAT invoice; ask us for one if you need it."
NO_SALES_TAX_INVOICE = "This is a {paper}. What sales tax is due stands on the invoice."
APART = "Apart from the price; nothing of it counts toward another instrument."
BY_TERMS = "Apart from the price; by the terms of credit agreed it counts toward an instrument."
FEES = {
    PaymentPurpose.DELIVERY: "Delivery",
    PaymentPurpose.TUNING: "Tuning",
    PaymentPurpose.HIRE: "Hire",
}
COUNTS = "It counts toward the price if you buy the instrument."


def receipt_paper_of(receipt: Receipt) -> ReceiptPaper:
    payment, profile = receipt.payment, ShopProfile.current()
    return ReceiptPaper(
        title=receipt.title,
        number=receipt.number,
        dated=payment.paid_on,
        shop=shop_party(profile),
        customer=person_party(payment.person),
        facts=_facts(payment, profile),
        toward=toward_of(payment),
        sums=_sums(payment),
        stands=tuple(_stands(receipt)),
        terms=_deposit_terms(payment),
        tax_words=_tax_words(payment, profile),
    )


def facts_of(words: ReceiptPaper) -> dict:
    """What is kept with the paper as plain values."""
    return {
        "number": words.number,
        "dated": words.dated.isoformat(),
        "customer": words.customer.name,
        "toward": words.toward,
        "sums": [[line.label, line.amount] for line in (*words.sums, *words.stands)],
    }


def instrument_of(payment: Payment) -> Instrument:
    return payment.commission.order.instrument if payment.commission else payment.promise.instrument


def stood_of(receipt: Receipt) -> Stood:
    """What was paid toward the same thing before this payment and after it, as the ledger has it."""
    payment = receipt.payment
    if payment.commission:
        before = payment.commission.payments.filter(pk__lt=payment.pk)
        entries = []
    else:
        before = payment.promise.payments.toward_price().filter(pk__lt=payment.pk)
        entries = _amounts(_counted(receipt))
    return stood(
        payment.amount_minor,
        payments_before=_amounts(before),
        credit_entries_before=entries,
        agreed_minor=receipt.agreed_minor,
    )


def toward_of(payment: Payment) -> str:
    instrument = instrument_of(payment)
    named = f"{description_of(instrument)}, our number {instrument.stock_number}"
    if payment.commission:
        return f"Work agreed, {payment.commission.number}, on {named}. {APART}"
    place = place_of(payment.promise)
    if payment.purpose in FEES:
        return f"{FEES[payment.purpose]}, {place}, of {named}. {_counting_words(payment)}"
    is_deposit = payment.promise.kind == PromiseKind.HOLD and payment.amount_minor > 0
    deposit = f" {COUNTS}" if is_deposit else ""
    return f"{place[:1].upper()}{place[1:]} of {named}.{deposit}"


def _counting_words(payment: Payment) -> str:
    trial = getattr(payment.promise, "trial", None)
    return BY_TERMS if trial and payment.purpose in trial.credit_terms.rule.fees_that_count else APART


def place_of(promise: Promise) -> str:
    if promise.kind == PromiseKind.SALE:
        return f"sale {promise.sale.number}"
    if promise.kind == PromiseKind.TRIAL:
        return f"home trial {promise.trial.number}"
    return "hold"


def _deposit_terms(payment: Payment) -> tuple[str, ...]:
    promise = payment.promise
    is_deposit = promise and promise.kind == PromiseKind.HOLD and payment.amount_minor > 0
    return terms_words(promise.hold_terms) if is_deposit and hasattr(promise, "hold_terms") else ()


def _facts(payment: Payment, profile: ShopProfile) -> tuple[tuple[str, str], ...]:
    how = payment.get_method_display() + (f", {payment.reference}" if payment.reference else "")
    return (
        ("Given back on" if payment.amount_minor < 0 else "Paid on", f"{payment.paid_on:%-d %B %Y}"),
        ("How", how),
        ("Why", _why(payment)),
        ("Our VAT number", profile.vat_number if _is_registered(profile) else ""),
    )


def _why(payment: Payment) -> str:
    """Of a refund: why it was given back after the end, or how the sale or the hold ended."""
    if hasattr(payment, "given_back_later"):
        return payment.given_back_later.reason
    promise = payment.promise
    if payment.amount_minor > 0 or promise is None or payment.receipt.pays_out_id:
        return ""
    if hasattr(promise, "hold_ending"):
        return f"The hold ended: {promise.hold_ending.how}"
    sale = promise.sale if promise.kind == PromiseKind.SALE else None
    return ending_words(sale.ending) if sale and hasattr(sale, "ending") else ""


def _sums(payment: Payment) -> tuple[MoneyLine, ...]:
    in_value = payment.method == PaymentMethod.PART_EXCHANGE
    if payment.method == PaymentMethod.FEE_COUNTS:
        label = (
            "So much less charged for the service"
            if payment.amount_minor < 0
            else "Counted from what you paid"
        )
    elif payment.amount_minor > 0:
        label = "Allowed in part exchange" if in_value else "Received with thanks"
    else:
        label = "Allowance taken back with the instrument" if in_value else "Given back to you"
    total = MoneyLine(label, in_words(abs(payment.amount_minor)), strong=True)
    parts = tuple(refunded_lines(payment)) if payment.amount_minor < 0 else ()
    line = BookLine.objects.filter(payment=payment, corrects__isnull=True).order_by("number").first()
    if line is None or not line.tax_minor:
        return (*parts, total)
    name = "sales tax" if line.treatment == TaxScheme.SALES_TAX else "VAT"
    share = f"{line.rate_percent.normalize():f} %"
    return (*parts, total, MoneyLine(f"of which {name} at {share}", in_words(line.tax_minor)))


def _stands(receipt: Receipt):
    payment = receipt.payment
    if payment.purpose in FEES:
        return
    if receipt.pays_out:
        yield from _credit_lines(receipt.pays_out)
        return
    told, what = stood_of(receipt), "for the work" if payment.commission else "toward it"
    if payment.amount_minor < 0:
        yield MoneyLine("Of what you paid, with us before", in_words(told.before_minor))
        yield MoneyLine("Given back with this", in_words(payment.amount_minor))
        yield MoneyLine("With us after this", in_words(told.after_minor), strong=True)
        yield from _kept(payment)
    elif told.agreed_minor is None:
        yield MoneyLine("Paid on it before", in_words(told.before_minor))
        yield MoneyLine("Paid on it now", in_words(told.after_minor), strong=True)
    else:
        yield MoneyLine("Agreed", in_words(told.agreed_minor))
        yield MoneyLine(f"Paid {what} before", in_words(told.before_minor))
        yield MoneyLine("Still to pay before", in_words(told.to_pay_before_minor))
        yield MoneyLine("Still to pay after this", in_words(told.to_pay_after_minor), strong=True)


def _kept(payment: Payment):
    """What the ending that gave this back kept; a refund after the end says why in its own fact."""
    if payment.promise and not payment.promise.is_open and not hasattr(payment, "given_back_later"):
        for words, amount, how in kept_lines_of(payment.promise):
            yield MoneyLine(f"Kept: {words}", in_words(amount), how)


def _credit_lines(paid_out: CreditEntry):
    before = sum(_amounts(paid_out.person.whole("credit_entries").filter(pk__lt=paid_out.pk)))
    yield MoneyLine("In your credit before", in_words(before))
    yield MoneyLine("In your credit after this", in_words(before + paid_out.amount_minor), strong=True)


def _tax_words(payment: Payment, profile: ShopProfile) -> tuple[str, ...]:
    if profile.tax_scheme == TaxScheme.NONE:
        return (NOT_REGISTERED,)
    if profile.tax_scheme == TaxScheme.SALES_TAX:
        words = NO_SALES_TAX_INVOICE
    else:
        words = NO_VAT_INVOICE if payment.purpose == PaymentPurpose.PRICE else FEE_WITH_VAT
    return (words.format(paper=payment.receipt.title.lower()),)


def _is_registered(profile: ShopProfile) -> bool:
    return profile.tax_scheme not in {TaxScheme.NONE, TaxScheme.SALES_TAX}


def _counted(receipt: Receipt):
    entries = receipt.payment.promise.credit_entries
    return entries.filter(pk__lte=receipt.counted_until_id) if receipt.counted_until_id else entries.none()


def _amounts(rows) -> list[int]:
    return list(rows.order_by("pk").values_list("amount_minor", flat=True))
