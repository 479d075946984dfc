"""One instrument, one page: everything known of it, and what stands in the way."""

from django.shortcuts import render
from django.views.decorators.http import require_GET

from instruments.key_marks import key_strip_of
from instruments.measuring import surveys_of
from instruments.problems import purchase_problems
from instruments.standings import conflicts_of, weighed_statements
from instruments.walks import in_order_of_the_walk
from shop.after_care import care_of, standing_sale_of
from shop.commissions import standings_of
from shop.costs import true_cost
from shop.life import life_of
from shop.models import Commission, Listing
from shop.ownership import ownership_of
from shop.problems import listing_problems, open_promise_of
from shop.record import record_of
from shop.showing import public_facts
from shop.views.answers import the_instrument, today
from shop.wishes import who_looks_for
from workorders.summary import work_summary


@require_GET
def instrument_page(request, stock_number):
    instrument, user = the_instrument(stock_number), request.user
    weighed, keys = weighed_statements(instrument), key_strip_of(instrument)
    names = user.has_perm("shop.see_people")
    problems = listing_problems(instrument, weighed, keys, with_names=names)
    findings = _findings(instrument)
    context = {
        "instrument": instrument,
        "facts": public_facts(instrument),
        "problems": problems,
        "blockers": [problem for problem in problems if problem.is_blocker],
        "promise": open_promise_of(instrument),
        "listing": Listing.objects.filter(instrument=instrument).first(),
        **_seen_and_heard(instrument),
        "life": life_of(instrument, today=today(), with_names=names, weighed=weighed),
        "statements": weighed[:60],
        "conflicts": conflicts_of(instrument, weighed),
        "findings": findings,
        "enders": purchase_problems(findings),
        "report": instrument.condition_reports.first(),
        "keys": keys,
        "weighing": instrument.weighings.with_readings().select_related("weighed_by", "closing").first(),
        "work": work_summary(instrument),
        "price": instrument.asking_prices.first(),
        "clearance": instrument.clearances.first(),
        "waiting_places": instrument.waiting_places.open().select_related("person")[:20],
        "record": record_of(instrument, user=user),
        **_by_right(instrument, user),
    }
    return render(request, "shop/instrument.html", context)


def _seen_and_heard(instrument) -> dict:
    return {
        "photos": instrument.photos.kept()[:60],
        "recordings": instrument.recordings.kept()[:20],
        "measures": surveys_of(instrument),
    }


def _after_care(instrument) -> dict:
    sale = standing_sale_of(instrument)
    return {
        "care": care_of(sale, on=today()) if sale else None,
        "visits": instrument.care_visits.with_done_on().select_related("who")[:20],
        "call_backs": instrument.call_backs.all()[:20],
    }


def _findings(instrument) -> list:
    rows = instrument.findings.current().with_values().select_related("found_by")
    return in_order_of_the_walk(rows)


def _by_right(instrument, user) -> dict:
    """Whose it is, what customers wish of it, and what it cost; the last two for those whose work it is."""
    owned = ownership_of(instrument)
    wishes = Commission.objects.filter(order__instrument=instrument)[:20]
    return {
        "owned": owned,
        "looked_for": who_looks_for(instrument)[:12] if user.has_perm("shop.see_people") else [],
        **_after_care(instrument),
        "standings": standings_of(wishes) if user.has_perm("shop.sell") else [],
        **(_costs(instrument) if user.has_perm("shop.see_costs") and owned.is_stock else {}),
    }


def _costs(instrument) -> dict:
    return {
        "cost": true_cost(instrument),
        "purchase": instrument.purchases.select_related("seller").first(),
    }
