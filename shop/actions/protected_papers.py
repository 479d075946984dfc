"""From the record to the file on protected materials."""

from datetime import date

from instruments.models import Instrument
from shop.actions.papers import shop_party
from shop.calc.protected import CAUTION
from shop.documents.protected_sheet import ProtectedSheet, build_protected_sheet
from shop.models import ShopProfile
from shop.protected import protected_file_of
from shop.protected_facts import act_lines, amount_facts, found_facts, paper_facts


def protected_sheet_of(instrument: Instrument, *, on: date) -> bytes:
    """Findings, dates, shares and references as they stand today, and what each act comes to."""
    profile, file = ShopProfile.current(), protected_file_of(instrument)
    return build_protected_sheet(
        ProtectedSheet(
            shop=shop_party(profile),
            stock_number=instrument.stock_number,
            maker=instrument.maker_name,
            sentence=instrument.sentence,
            serial=instrument.serial,
            law=profile.get_jurisdiction_display(),
            printed_on=on,
            found=tuple(found_facts(file)),
            amounts=tuple(amount_facts(file)),
            papers=tuple(paper_facts(file)),
            acts=tuple(act_lines(file)),
            caution=CAUTION,
        )
    )
