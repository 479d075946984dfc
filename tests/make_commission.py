"""A customer's wishes, made one step at a time through the actions."""

from datetime import date, timedelta

from instruments.scans import prepare_scan, stored_scan
from shop.actions.commissions import approve_quote, issue_quote, next_version, open_commission
from shop.actions.papers import stored_paper
from shop.actions.work_papers import quote_paper_of
from shop.commissions import standing_of
from shop.models import Approval, Commission, Quote
from tests.make import A_DAY, make_taken_in, somebody
from tests.scans import pdf_upload

RECENTRE = {"words": "Re-centre the hammers", "price_minor": 24_000}
PAINT = {
    "words": "Paint the case white",
    "price_minor": 90_000,
    "is_irreversible": True,
    "caution": "The old polish goes for good.",
}
LIGHTER = {"words": "Touch 3 g lighter", "price_minor": 18_000, "touch_shift_g": -3}


def make_commission(*, promise=None, taken_in=None, by=None, on: date = A_DAY, **fields) -> Commission:
    """For a promise, or else for a customer's own instrument."""
    by = by or somebody()
    taken_in = None if promise else taken_in or make_taken_in(by=by)
    fields = {"title": "Re-centre and lighten"} | fields
    return open_commission(promise=promise, taken_in=taken_in, by=by, on=on, **fields)


def make_quote(*wishes: dict, commission=None, by=None, on: date = A_DAY, **terms) -> Quote:
    by = by or somebody()
    commission = commission or make_commission(by=by)
    said = {
        "version": next_version(commission),
        "wishes": wishes or (RECENTRE,),
        "valid_until": on + timedelta(days=30),
    } | terms
    pdf = quote_paper_of(standing_of(commission), on=on, **said)
    with stored_paper(f"{commission.number}-v{said['version']}", pdf) as stored:
        return issue_quote(commission=commission, stored=stored, by=by, on=on, **said)


def make_approval(*, quote=None, by=None, on: date = A_DAY, with_file: bool = False, **said) -> Approval:
    """A yes to every line, those that cannot be undone too, found in a folder or kept as a file."""
    by, quote = by or somebody(), quote or make_quote()
    said = {
        "approved_by_name": "Wilf Arden",
        "way": "signed",
        "approved_on": on,
        "reference": "folder of March",
        "agreed": list(quote.wishes.all()),
    } | said
    if not with_file:
        return approve_quote(quote=quote, by=by, on=on, **said)
    with stored_scan(prepare_scan(pdf_upload())) as scan:
        return approve_quote(quote=quote, scan=scan, by=by, on=on, **said)
