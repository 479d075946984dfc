"""What a consumer is told of the right to cancel, and a form for it, as plain data and in our own words.

The facts are those of the Consumer Contracts Regulations 2013 (SI 2013/3134), Schedule 3, parts A and B, and
regs 29 to 36. Check the law in force; this is not legal advice.
"""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import Party
from instruments.documents.dates import day_in_words

TITLE = "Your right to cancel"
FORM_TITLE = "Cancellation form"
ABOUT_THE_FORM = "You need not use this form. Keep a copy of what you send."


@dataclass(frozen=True)
class Cancelling:
    shop: Party
    customer: Party
    number: str
    agreed_on: date
    goods: str

    @property
    def paragraphs(self) -> tuple[str, ...]:
        return (
            f"You bought {self.goods} from us on {day_in_words(self.agreed_on)}, and not in our shop. You "
            "may cancel that sale without giving a reason until the end of the fourteenth day after the day "
            "on which it reached you, or somebody you named to take it.",
            f"To cancel, tell us clearly: {self.where}. A letter or an e-mail will do, or the form below. It "
            "is in time when you send it before the last day has ended.",
            "If you cancel, we pay back all that you have paid for it, with the cost of delivery; only what "
            "a dearer way of delivery than our ordinary one cost more is not paid back. We do so without "
            "undue delay and within fourteen days after the day on which you told us, for we fetch it "
            "ourselves, at a time arranged with you and without cost to you. Should you choose to send it "
            "yourself, the fourteen days begin when we have it back or you show us that it is on its way.",
            "We pay you back the way you paid, unless you expressly agree to another, and charge nothing for "
            "it. If it has lost value because it was handled more than is needed to see what it is and how "
            "it plays, we may keep that much of the price.",
        )

    @property
    def where(self) -> str:
        shop = self.shop
        lines = [line.strip() for line in shop.address.splitlines() if line.strip()]
        return ", ".join(each for each in (shop.name, *lines, *shop.contacts) if each)

    @property
    def declaration(self) -> str:
        what = f"the sale {self.number} of {day_in_words(self.agreed_on)}: {self.goods}"
        return f"To {self.where}\nI cancel {what}."


def build_cancelling(cancelling: Cancelling) -> bytes:
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.cancelling_layout import lay_out

    return lay_out(cancelling)
