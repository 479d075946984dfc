"""What buying leaves in the record: calculations, hand-overs, waivers, and what owners were paid."""

from shop.models import HandedOver, OfferCalculation, PayOut, SellerPayment, UntouchedWaiver
from shop.written_kinds import Kind, sentence
from workorders.currency import in_words


def _as_named(row, user) -> str:
    return str(row)


def _calculation(row: OfferCalculation, user) -> str:
    return sentence(f"At most {in_words(row.most_minor)}, sold for {in_words(row.sale_minor)}", row.note)


def _payout(row: PayOut, user) -> str:
    verb = "paid to" if row.amount_minor > 0 else "back from"
    return sentence(f"{in_words(abs(row.amount_minor))} {verb} {row.agreement.owner}", row.reference)


def _to_seller(row: SellerPayment, user) -> str:
    verb = "paid to the seller" if row.amount_minor > 0 else "less paid to the seller"
    return sentence(f"{in_words(abs(row.amount_minor))} {verb}", row.get_method_display(), row.reference)


BUYING_KINDS = (
    Kind(OfferCalculation, _calculation, right="shop.see_costs"),
    Kind(HandedOver, _as_named, path="sale__instrument", right="shop.see_people", beside=("sale",)),
    Kind(UntouchedWaiver, _as_named),
    Kind(
        PayOut,
        _payout,
        path="agreement__instrument",
        right="shop.see_costs",
        beside=("agreement__owner",),
    ),
    Kind(SellerPayment, _to_seller, path="purchase__instrument", right="shop.see_costs"),
)
