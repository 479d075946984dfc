from shop.models.books import AgeChoice, BookLine, BookPeriod, TaxRate
from shop.models.clearance import Clearance
from shop.models.commission import Approval, Commission, Extra, Quote, QuoteTakenBack, Wish
from shop.models.history_issue import HistoryIssue
from shop.models.ledger import CreditEntry, Payment
from shop.models.listing import Listing, Publication
from shop.models.paper import Paper
from shop.models.person import Person
from shop.models.profile import ShopProfile
from shop.models.promise import Promise
from shop.models.purchase import AskingPrice, CostLine, Purchase
from shop.models.sale import Sale, SaleEnding
from shop.models.taken_in import TakenIn
from shop.models.trial import Trial

__all__ = [
    "AgeChoice",
    "Approval",
    "AskingPrice",
    "BookLine",
    "BookPeriod",
    "Clearance",
    "Commission",
    "CostLine",
    "CreditEntry",
    "Extra",
    "HistoryIssue",
    "Listing",
    "Paper",
    "Payment",
    "Person",
    "Promise",
    "Publication",
    "Purchase",
    "Quote",
    "QuoteTakenBack",
    "Sale",
    "SaleEnding",
    "ShopProfile",
    "TakenIn",
    "TaxRate",
    "Trial",
    "Wish",
]
