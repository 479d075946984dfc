"""The agreement for a home trial, as plain data. Both sides sign it, so it is whole by itself."""

from dataclasses import dataclass, field
from datetime import date, datetime

from instruments.documents.content import Clause, ConditionLine, Fact, Party, Photo
from shop.calc.home_air import HUMIDITY_WORDS
from shop.calc.signature import Drawing
from shop.calc.trial_figures import TrialFigures


@dataclass(frozen=True)
class TrialInstrument:
    """What goes out: enough to tell it from every other, and how it was when it left."""

    maker: str
    stock_number: str
    serial: str = ""
    serial_read_at: str = ""
    made: str = ""
    made_basis: str = ""
    compass: str = ""
    further_facts: tuple[Fact, ...] = ()
    goes_with_it: str = ""  # a stool, a key for the fall
    photos: tuple[Photo, ...] = ()
    condition: tuple[ConditionLine, ...] = ()
    faults: tuple[str, ...] = ()


@dataclass(frozen=True)
class ScreenSignature:
    """What somebody drew on a screen under the words, and when; without a drawing they typed their name."""

    name: str
    signed_at: datetime
    drawing: Drawing | None = None


@dataclass(frozen=True)
class TrialAgreement:
    number: str
    agreed_on: date
    shop: Party
    customer: Party
    instrument: TrialInstrument
    figures: TrialFigures
    starts_on: date
    ends_on: date  # the last day
    place: str
    clauses: tuple[Clause, ...]
    terms_version: str
    delivery_note: str = ""
    brought_words: str = ""  # where what is paid now comes out of credit
    special_terms: str = ""
    cautions: tuple[str, ...] = ()
    registration: str = ""  # of protected material, where there is any
    humidity: str = HUMIDITY_WORDS
    cancellation_form: bool = False  # when agreed at a distance or away from the shop
    draft: bool = field(default=False, metadata={"hashed": False})
    # Put under words that were there before: the hash of the words is the same with and without them.
    shop_signature: ScreenSignature | None = field(default=None, metadata={"hashed": False})
    customer_signature: ScreenSignature | None = field(default=None, metadata={"hashed": False})


def build_trial_agreement(agreement: TrialAgreement) -> bytes:
    """The PDF: two pages for ordinary terms, further ones for longer. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.trial_layout import lay_out

    return lay_out(agreement)
