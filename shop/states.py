"""States of the shop's dealings, with the groups that code compares against."""

from django.db.models import TextChoices


class Jurisdiction(TextChoices):
    UK = "uk", "United Kingdom"
    EU = "eu", "European Union"
    US = "us", "United States"
    OTHER = "other", "Elsewhere"


class TaxScheme(TextChoices):
    MARGIN = "margin", "VAT on the margin (UK scheme)"
    MARGIN_EU = "margin_eu", "VAT on the margin (EU scheme)"
    STANDARD = "standard", "VAT on the whole price"
    SALES_TAX = "sales_tax", "Sales tax on top of the price"
    NONE = "none", "Not registered"


class TaxKind(TextChoices):
    VAT = "vat", "VAT"
    SALES_TAX = "sales_tax", "Sales tax"


class LineKind(TextChoices):
    BOUGHT = "bought", "Bought"
    SOLD = "sold", "Sold"
    FEE = "fee", "Fee"


class AgeLabel(TextChoices):
    SECOND_HAND = "second-hand", "Second-hand goods: not more than 100 years old"
    ANTIQUE = "antique", "Antique: more than 100 years old"


class SaleEndingKind(TextChoices):
    CANCELLED = "cancelled", "Called off before it left us"
    RIGHT = "right", "Cancelled under the right to cancel"
    REJECTED = "rejected", "Rejected: the short-term right, 30 days"
    FINAL = "final", "Rejected after a repair: the final right"
    GOODWILL = "goodwill", "Taken back by agreement, as goodwill"
    TAKEN_BACK = "taken_back", "Taken back from the customer"  # before the rights were told apart


ENDINGS_BY_HAND = [choice for choice in SaleEndingKind.choices if choice[0] != SaleEndingKind.TAKEN_BACK]
REJECTIONS = (SaleEndingKind.REJECTED, SaleEndingKind.FINAL)
ENDINGS_BY_RIGHT = (SaleEndingKind.RIGHT, *REJECTIONS)


class PurchaseRoute(TextChoices):
    PRIVATE = "private", "From a private seller"
    TRADE = "trade", "From the trade"
    PART_EXCHANGE = "part_exchange", "In part exchange"
    GIFT = "gift", "Given"
    SALE_OR_RETURN = "returnable", "Sold for its owner, on sale or return"


# What is on sale or return gets its purchase from the act that sells it.
ROUTES_BY_HAND = [choice for choice in PurchaseRoute.choices if choice[0] != PurchaseRoute.SALE_OR_RETURN]


class SellerKind(TextChoices):
    PRIVATE = "private", "A private person"
    TRADE = "trade", "Somebody in trade"


class InvoiceLabel(TextChoices):
    """What a trade seller's own invoice says of the margin scheme (CHECKS: gov.uk, keeping records)."""

    SECOND_HAND = "second_hand", "Margin scheme - second-hand goods"
    ANTIQUE = "antique", "Margin scheme - collectors’ items and antiques"


class SellsAs(TextChoices):
    """In what right a private seller sells; declared over their signature."""

    OWNER = "owner", "It is mine alone"
    JOINT = "joint", "It is mine and others’, who agree"
    ESTATE = "estate", "For an estate, as its executor or administrator"
    AGENT = "agent", "For the owner, with written authority"


class ProtectedTold(TextChoices):
    """What a seller says of ivory and other protected material; a clearance says what was found."""

    NOT_KNOWN = "not_known", "Does not know"
    NONE = "none", "None, as far as they know"
    IVORY = "ivory", "Ivory on the keys"
    OTHER = "other", "Other protected material"


class LeadState(TextChoices):
    NEW = "new", "New"
    PHOTOS = "photos", "Photographs asked for"
    VISIT = "visit", "Visit planned"
    OFFERED = "offered", "Offer made"
    BOUGHT = "bought", "Bought"
    DECLINED = "declined", "Declined"
    LOST = "lost", "Lost"


LEADS_THAT_WAIT = (LeadState.NEW, LeadState.PHOTOS, LeadState.VISIT, LeadState.OFFERED)
LEADS_THAT_ENDED = (LeadState.BOUGHT, LeadState.DECLINED, LeadState.LOST)


class HowFound(TextChoices):
    """How whoever offers a piano came to us, or we to them."""

    KNOWN = "known", "A customer of ours"
    SENT = "sent", "Sent by somebody"
    TUNER = "tuner", "Through a tuner"
    WINDOW = "window", "Saw our window"
    ADVERT = "advert", "Our advertisement"
    HUNT = "hunt", "We asked them"
    OTHER = "other", "Otherwise"


class CostKind(TextChoices):
    TRANSPORT = "transport", "Transport"
    REGISTRATION = "registration", "Registration"
    OUTWORK = "outwork", "Outwork"
    STORAGE = "storage", "Storage"
    DELIVERY = "delivery", "Delivery"
    TUNING = "tuning", "Tuning"
    GUARANTEE = "guarantee", "Work under guarantee"
    OTHER = "other", "Other"


class EstimateKind(TextChoices):
    """Spelled as calc.true_costs names what a piano costs; and what it should earn."""

    TRANSPORT = "transport", "Transport"
    REGISTRATION = "registration", "Registrations"
    LABOUR = "labour", "Bench"
    PARTS = "parts", "Parts"
    OUTWORK = "outwork", "Outwork"
    STORAGE = "storage", "Storage"
    DELIVERY = "delivery", "Delivery"
    TUNING = "tuning", "Tunings"
    OTHER = "other", "Other"
    PROFIT = "profit", "Profit wanted"


class ListingState(TextChoices):
    DRAFT = "draft", "Draft"
    PUBLISHED = "published", "In the window"
    WITHDRAWN = "withdrawn", "Withdrawn"


class PromiseKind(TextChoices):
    HOLD = "hold", "Hold"
    TRIAL = "trial", "Home trial"
    SALE = "sale", "Sale"


class PromiseOutcome(TextChoices):
    LAPSED = "lapsed", "Lapsed or released"
    KEPT = "kept", "Kept: became the sale"
    EXCHANGED = "exchanged", "Exchanged for another"
    RETURNED = "returned", "Returned"
    SOLD = "sold", "Became a sale"
    CANCELLED = "cancelled", "Cancelled"


class LetGoBy(TextChoices):
    CUSTOMER = "customer", "The customer"
    SHOP = "shop", "We do"
    NOBODY = "nobody", "Nobody: its last day has passed"


class GiveBack(TextChoices):
    REFUND = "refund", "Give it back as money"
    CREDIT = "credit", "Leave it in their credit"


class WaitingOutcome(TextChoices):
    SERVED = "served", "It was promised to them"
    LEFT = "left", "Waits no longer"


class ContractPlace(TextChoices):
    """Where two people agreed: at a distance or away from the shop the law gives time to think again."""

    SHOP = "shop", "In our shop"
    DISTANCE = "distance", "At a distance: telephone, post, e-mail, web"
    OFF_PREMISES = "off-premises", "Face to face, away from our shop"


AWAY_FROM_THE_SHOP = (ContractPlace.DISTANCE, ContractPlace.OFF_PREMISES)


class Signer(TextChoices):
    SHOP = "shop", "For the shop"
    CUSTOMER = "customer", "The customer"


class SigningWay(TextChoices):
    SCREEN = "screen", "On this screen"
    TYPED = "typed", "By typing the name"
    PAPER = "paper", "On the printed paper"


class ClauseWhen(TextChoices):
    """The circumstance in which a clause belongs in an agreement."""

    ALWAYS = "always", "Always"
    PART_EXCHANGE = "part exchange", "When something may be taken in part exchange"
    REGISTERED = "registered", "When protected material in it is registered"
    AT_A_DISTANCE = "at a distance", "When agreed at a distance or away from our shop"
    KEEPING_IS_NOT_BUYING = "keeping is not buying", "When keeping it past the last day is no purchase"
    KEEPING_IS_BUYING = "keeping is buying", "When keeping it past the last day is a purchase"


class TrialState(TextChoices):
    DRAFT = "draft", "Drafted"
    OUT = "out", "Out on trial"
    ENDED = "ended", "Ended"


class PaymentMethod(TextChoices):
    TRANSFER = "transfer", "Bank transfer"
    CARD = "card", "Card"
    CASH = "cash", "Cash"
    CHEQUE = "cheque", "Cheque"
    PART_EXCHANGE = "exchange", "Part exchange"
    FEE_COUNTS = "counts", "A fee that counts"


# Value that crosses no counter is entered by the act that brings it in, never by hand.
VALUE_METHODS = (PaymentMethod.PART_EXCHANGE, PaymentMethod.FEE_COUNTS)
MONEY_METHODS = [choice for choice in PaymentMethod.choices if choice[0] not in VALUE_METHODS]


class PaymentPurpose(TextChoices):
    PRICE = "price", "Toward the price"
    DELIVERY = "delivery", "For delivery"
    WORK = "work", "For work agreed"
    TUNING = "tuning", "For tuning"
    HIRE = "hire", "For hire"


class ApprovalWay(TextChoices):
    """How a customer said yes in writing."""

    SIGNED = "signed", "The quote, signed on paper"
    EMAIL = "email", "An e-mail"
    LETTER = "letter", "A letter"
    MESSAGE = "message", "Another written message"


class CommissionState(TextChoices):
    UNQUOTED = "unquoted", "Not quoted yet"
    QUOTED = "quoted", "Waits for approval"
    CHANGED = "changed", "Changed, waits for approval"
    APPROVED = "approved", "Approved, not begun"
    IN_WORK = "in_work", "In work"
    DONE = "done", "Done, to be paid"
    SETTLED = "settled", "Done and paid"
    WITHDRAWN = "withdrawn", "Withdrawn"


class CreditKind(TextChoices):
    FROM_PROMISE = "from_promise", "What was paid, now in credit"
    TO_PROMISE = "to_promise", "Credit used"
    PAID_OUT = "paid_out", "Credit paid out"
    EXPIRED = "expired", "Credit run out"


class PaperKind(TextChoices):
    SALE_SHEET = "sale_sheet", "Sale sheet"
    INVOICE = "invoice", "Invoice"
    CREDIT_NOTE = "credit_note", "Credit note"
    RECEIPT = "receipt", "Receipt"
    HOLD = "hold", "Hold"
    TRIAL_AGREEMENT = "trial_agreement", "Trial agreement"
    TRIAL_EXTENSION = "trial_extension", "Extension of a trial"
    TRIAL_DELIVERY = "trial_delivery", "Delivery note of a trial"
    TRIAL_COLLECTION = "trial_collection", "Collection note of a trial"
    TRIAL_SETTLEMENT = "trial_settlement", "Settlement of a trial"
    HISTORY = "history", "History"
    HISTORY_SHORT = "history_short", "History, short form"
    QUOTE = "quote", "Quote for work"
    PURCHASE_INVOICE = "purchase_invoice", "Purchase invoice"
    SALE_OR_RETURN = "sale_or_return", "Sale-or-return agreement"
    TAKEN_IN = "taken_in", "Receipt for an instrument"
    HANDED_BACK = "handed_back", "Paper of its handing back"
    DELIVERY_NOTE = "delivery_note", "Delivery note"
    CANCELLING = "cancelling", "Right to cancel, with its form"
    GUARANTEE = "guarantee", "Guarantee"
