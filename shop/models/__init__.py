from shop.models.books import AgeChoice, BookLine, BookPeriod, TaxRate
from shop.models.call_back import CallBack, CallBackAnswer, CallBackJudgement
from shop.models.care_terms import GuaranteePart, SaleCare, UsualCare
from shop.models.care_visit import CareVisit, VisitRecord
from shop.models.clearance import Clearance
from shop.models.commission import Approval, Commission, Extra, Quote, QuoteTakenBack, Wish
from shop.models.credit_terms import CreditTerms
from shop.models.deduction import Deduction
from shop.models.enquiry import Enquiry, EnquiryAnswer, EnquirySending, Knock
from shop.models.estimate import CostEstimate
from shop.models.history_issue import HistoryIssue
from shop.models.hold import GivenBackLater, HoldEnding, HoldTerms
from shop.models.lead import Lead, LeadPhoto, LinkSending, PhotoLink
from shop.models.ledger import CreditEntry, Payment
from shop.models.listing import Listing, Publication
from shop.models.listing_voice import ListingOrder, ListingSentence
from shop.models.log import LogHead, LogLine, LogSeal
from shop.models.offer import OfferCalculation
from shop.models.paper import Paper
from shop.models.part_exchange import HandedOver, UntouchedWaiver
from shop.models.payment_plan import PaymentPlan, PlanStage, StageReached
from shop.models.person import Person
from shop.models.person_data import AskedHow, Erasure, ErasureKind, PersonExport, Removal
from shop.models.profile import ShopProfile
from shop.models.promise import Promise
from shop.models.purchase import AskingPrice, CostLine, Purchase, SellerPayment
from shop.models.receipt import Receipt
from shop.models.reminder import ReminderAttempt, ReminderResult
from shop.models.sale import Sale, SaleEnding
from shop.models.sale_course import RepairAsked, RepairBack, SaleAgreed, SaleDelivery, SaleNotice
from shop.models.sale_or_return import PayOut, SaleOrReturn
from shop.models.sign_in import RecoveryCode, SecondStepRule, SignInTry
from shop.models.signature import PaperSignature
from shop.models.taken_in import TakenIn
from shop.models.telling import Telling
from shop.models.terms import AgreementClause, TermsVersion
from shop.models.trial import Trial
from shop.models.trial_extension import TrialExtension
from shop.models.trial_steps import AccessSurvey, HomeClimate, MoverBooking, TrialCollection, TrialDelivery
from shop.models.waiting_place import WaitingPlace
from shop.models.wanted import Wanted

__all__ = [
    "AccessSurvey",
    "AgeChoice",
    "AgreementClause",
    "Approval",
    "AskedHow",
    "AskingPrice",
    "BookLine",
    "BookPeriod",
    "CallBack",
    "CallBackAnswer",
    "CallBackJudgement",
    "CareVisit",
    "Clearance",
    "Commission",
    "CostEstimate",
    "CostLine",
    "CreditEntry",
    "CreditTerms",
    "Deduction",
    "Enquiry",
    "EnquiryAnswer",
    "EnquirySending",
    "Erasure",
    "ErasureKind",
    "Extra",
    "GivenBackLater",
    "GuaranteePart",
    "HandedOver",
    "HistoryIssue",
    "HoldEnding",
    "HoldTerms",
    "HomeClimate",
    "Knock",
    "Lead",
    "LeadPhoto",
    "LinkSending",
    "Listing",
    "ListingOrder",
    "ListingSentence",
    "LogHead",
    "LogLine",
    "LogSeal",
    "MoverBooking",
    "OfferCalculation",
    "Paper",
    "PaperSignature",
    "PayOut",
    "Payment",
    "PaymentPlan",
    "Person",
    "PersonExport",
    "PhotoLink",
    "PlanStage",
    "Promise",
    "Publication",
    "Purchase",
    "Quote",
    "QuoteTakenBack",
    "Receipt",
    "RecoveryCode",
    "ReminderAttempt",
    "ReminderResult",
    "Removal",
    "RepairAsked",
    "RepairBack",
    "Sale",
    "SaleAgreed",
    "SaleCare",
    "SaleDelivery",
    "SaleEnding",
    "SaleNotice",
    "SaleOrReturn",
    "SecondStepRule",
    "SellerPayment",
    "ShopProfile",
    "SignInTry",
    "StageReached",
    "TakenIn",
    "TaxRate",
    "Telling",
    "TermsVersion",
    "Trial",
    "TrialCollection",
    "TrialDelivery",
    "TrialExtension",
    "UntouchedWaiver",
    "UsualCare",
    "VisitRecord",
    "WaitingPlace",
    "Wanted",
    "Wish",
]
