"""What a buyer is told of the right to cancel, from the sale as it was agreed."""

from shop.actions.papers import person_party, shop_party
from shop.documents.cancelling import Cancelling
from shop.models import Sale, ShopProfile
from shop.sale_days import days_of_sale


def cancelling_of(sale: Sale) -> Cancelling | None:
    """None where the sale was agreed in the shop, for a business, or under another law."""
    if not days_of_sale(sale).may_cancel:
        return None
    instrument = sale.instrument
    return Cancelling(
        shop=shop_party(ShopProfile.current()),
        customer=person_party(sale.person),
        number=sale.number,
        agreed_on=sale.sold_on,
        goods=f"{instrument.maker_name}, stock number {instrument.stock_number}",
    )
