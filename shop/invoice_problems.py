"""What an invoice still lacks of what the scheme wants on it, and what stands against taking a sale back."""

from django.urls import reverse

from instruments.problems import Blocker, Caution, Problem
from shop.actions.stock_book import book_line_of
from shop.calc.sale_tax import MARGIN_SCHEMES
from shop.invoice_words import age_label
from shop.models import Sale, ShopProfile
from shop.states import TaxScheme

REGISTERED = {*MARGIN_SCHEMES, TaxScheme.STANDARD}


def invoice_problems(sale: Sale) -> list[Problem]:
    profile, line, instrument = ShopProfile.current(), book_line_of(sale), sale.instrument
    problems: list[Problem] = []
    if line is None:
        return [Blocker("This sale stands in no line of the books.")]
    if hasattr(sale, "ending"):
        problems.append(Blocker(f"{sale.number} has ended: there is nothing to invoice any more."))
    terms = reverse("shop:profile_edit")
    if not profile.address:
        problems.append(
            Blocker("An invoice names the shop's address, and none is written down.", terms, "shop.run_shop")
        )
    if line.treatment in REGISTERED and not profile.vat_number:
        problems.append(
            Blocker(
                "An invoice names the shop's VAT number, and none is written down.", terms, "shop.run_shop"
            )
        )
    if not sale.person.standing_card.address:
        edit = reverse("shop:person_edit", args=[sale.person.standing_id])
        problems.append(Blocker(f"An invoice names the buyer's address, and {sale.person} has none.", edit))
    if line.treatment in MARGIN_SCHEMES and not age_label(instrument, sale.sold_on):
        problems.append(
            Blocker(
                f"Its date, {instrument.made_words}, leaves open whether it is more than 100 years old, and "
                "the label on the invoice depends on it. Decide, and say why.",
                reverse("shop:age_choose", args=[instrument.stock_number]),
            )
        )
    if line.why:
        problems.append(Caution(line.why))
    return problems
