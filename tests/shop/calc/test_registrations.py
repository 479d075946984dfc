"""When a registration has ended. Ivory Act 2018 s 11(1); CHECKS section 7, test 5."""

from datetime import date

import pytest

from shop.calc.registrations import Owning, ended_because

DAY, BEFORE, AFTER = date(2026, 3, 10), date(2026, 3, 1), date(2026, 3, 20)


def ended(*, sellers=False, issued=DAY, ours=True, bought=None, sold=None, to_buy=False) -> str:
    return ended_because(
        in_sellers_name=sellers, issued_on=issued, owning=Owning(ours, bought, sold), to_buy=to_buy
    )


@pytest.mark.parametrize(
    ("known", "words"),
    [
        ({"bought": BEFORE}, ""),
        ({"bought": DAY}, ""),
        ({"bought": AFTER}, "is older than the purchase of 20 March 2026, and ended with it"),
        ({"bought": BEFORE, "sold": AFTER}, "ended when the piano was sold on 20 March 2026"),
        ({"sold": DAY}, "ended when the piano was sold on 10 March 2026"),
        ({"sold": BEFORE}, ""),
        ({"issued": None}, ""),
        (
            {"issued": None, "bought": BEFORE},
            "has no day of issue on file, and so is not shown to be from after the shop bought the piano",
        ),
        ({"sellers": True, "bought": AFTER}, "was the seller’s and ended when the shop bought the piano"),
        ({"sellers": True, "ours": False}, ""),
        ({"sellers": True, "bought": AFTER, "to_buy": True}, ""),
        ({"sellers": True, "sold": AFTER, "to_buy": True}, "ended when the piano was sold on 20 March 2026"),
    ],
)
def test_registration_ends_with_each_change_of_owner(known, words):
    assert ended(**known) == words
