"""An enquiry as the public page takes it, sent half a minute after the page was opened."""

from datetime import timedelta

from django.utils import timezone

from shop.actions.enquiries import take_enquiry
from shop.asking_marks import Opened
from shop.models import Enquiry

ASKED = {
    "about": "question",
    "name": "Nell Sorrel",
    "email": "nell@sorrel.example",
    "telephone": "",
    "message": "Is it still there, and may I come on Saturday?",
    "tell_me": False,
    "agreed_to": "We keep it.",
}


def make_enquiry(
    *,
    instrument=None,
    trap: str = "",
    seconds: int = 30,
    at=None,
    address: str = "",
    nonce: str = "",
    **asked,
) -> Enquiry:
    at = at or timezone.now()
    opened = Opened(nonce or f"page {Enquiry.objects.count()}", at - timedelta(seconds=seconds))
    # From another place each time, so that no test meets the limit by the way.
    address = address or f"place {Enquiry.objects.count()}"
    return take_enquiry(
        asked=ASKED | asked,
        trap=trap,
        opened=opened,
        address=address,
        instrument=instrument,
        by=None,
        at=at,
    )
