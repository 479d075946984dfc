"""What is said around enquiries: what a stranger agrees to, and the letter that answers."""

from shop.calc.reminders import one_line
from shop.models import Enquiry, ShopProfile
from shop.reminder_words import Letter


def consent_words(shop: ShopProfile) -> str:
    """The sentence above the button. Kept with each enquiry as it was agreed to."""
    months = "a month" if shop.enquiry_months == 1 else f"{shop.enquiry_months} months"
    return (
        "We keep what you write here to answer you, and nothing else is done with it. If nothing comes of "
        f"it, it is erased {months} after we closed it, or at once if you ask us to."
    )


def answered_within(shop: ShopProfile) -> str:
    return "by tomorrow" if shop.enquiry_days == 1 else f"within {shop.enquiry_days} days"


def beginning(enquiry: Enquiry, shop: ShopProfile) -> str:
    """What stands in the box of an answer before anybody has typed."""
    return "\n\n".join([f"Dear {one_line(enquiry.name)},", "", signed(shop)])


def signed(shop: ShopProfile) -> str:
    ours = [line for line in (shop.name, *shop.address.splitlines(), shop.telephone, shop.email) if line]
    return "\n".join(ours)


def answer_letter(enquiry: Enquiry, words: str) -> Letter:
    about = enquiry.instrument.maker_name if enquiry.instrument else enquiry.get_about_display()
    quoted = "\n".join(f"> {line}" for line in enquiry.message.splitlines())
    text = f"{words}\n\nYou wrote on {enquiry.came_on:%-d %B %Y}:\n{quoted}\n"
    return Letter(one_line(f"Your enquiry {enquiry.number}: {about}"), text)
