from shop.models.books import AgeChoice, BookLine, BookPeriod, TaxRate
from shop.models.clearance import Clearance
from shop.models.commission import Approval, Commission, Extra, Quote, QuoteTakenBack, Wish
from shop.models.estimate import CostEstimate
from shop.models.history_issue import HistoryIssue
from shop.models.lead import Lead, LeadPhoto, LinkSending, PhotoLink
from shop.models.ledger import CreditEntry, Payment
from shop.models.listing import Listing, Publication
from shop.models.offer import OfferCalculation
from shop.models.paper import Paper
from shop.models.part_exchange import HandedOver, UntouchedWaiver
from shop.models.person import Person
from shop.models.profile import ShopProfile
from shop.models.promise import Promise
from shop.models.purchase import AskingPrice, CostLine, Purchase
from shop.models.sale import Sale, SaleEnding
from shop.models.sale_or_return import PayOut, SaleOrReturn
from shop.models.signature import PaperSignature
from shop.models.taken_in import TakenIn
from shop.models.terms import AgreementClause, TermsVersion
from shop.models.trial import Trial
from shop.models.waiting_place import WaitingPlace
from shop.models.wanted import Wanted

__all__ = [
    "AgeChoice",
    "AgreementClause",
    "Approval",
    "AskingPrice",
    "BookLine",
    "BookPeriod",
    "Clearance",
    "Commission",
    "CostEstimate",
    "CostLine",
    "CreditEntry",
    "Extra",
    "HandedOver",
    "HistoryIssue",
    "Lead",
    "LeadPhoto",
    "LinkSending",
    "Listing",
    "OfferCalculation",
    "Paper",
    "PaperSignature",
    "PayOut",
    "Payment",
    "Person",
    "PhotoLink",
    "Promise",
    "Publication",
    "Purchase",
    "Quote",
    "QuoteTakenBack",
    "Sale",
    "SaleEnding",
    "SaleOrReturn",
    "ShopProfile",
    "TakenIn",
    "TaxRate",
    "TermsVersion",
    "Trial",
    "UntouchedWaiver",
    "WaitingPlace",
    "Wanted",
    "Wish",
]
