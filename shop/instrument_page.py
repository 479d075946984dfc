"""Everything that the page of one instrument says, asked in a few questions however long its story is."""

from datetime import date

from instruments.key_marks import key_strip_of
from instruments.measuring import surveys_of
from instruments.models import Instrument, MeasuredValue
from instruments.models.together import alongside, asked, asking, hand_on
from instruments.problems import purchase_problems
from instruments.standings import conflicts_of, weighed_statements
from instruments.walks import in_order_of_the_walk
from shop.after_care import care_of_instrument
from shop.commissions import standings_of
from shop.costs import true_cost
from shop.life import life_of
from shop.models import Commission, Listing
from shop.ownership import ownership_of
from shop.problems import listing_problems, open_promise_of
from shop.record import record_of
from shop.showing import public_facts
from shop.wishes import who_looks_for
from workorders.summary import work_summary

MOST_STATEMENTS, MOST_PHOTOS, MOST_RECORDINGS = 60, 60, 20
MOST_OF_CARE, MOST_WISHES, MOST_WHO_LOOK = 20, 20, 12


@asking
def told_of(instrument: Instrument, *, user, on: date):
    """By the names that the template uses; people, sales and money as far as this user may see them."""
    weighed, keys = yield from alongside(weighed_statements.later(instrument), key_strip_of.later(instrument))
    names = user.has_perm("shop.see_people")
    sections = yield from alongside(
        _problems(instrument, weighed, keys, with_names=names),
        life_of.later(instrument, today=on, with_names=names, weighed=weighed),
        conflicts_of.later(instrument, weighed),
        _condition(instrument),
        _on_file(instrument),
        public_facts.later(instrument),
        surveys_of.later(instrument),
        work_summary.later(instrument),
        record_of.later(instrument, user=user),
        _by_right(instrument, user),
        care_of_instrument.later(instrument, on=on),
    )
    problems, life, conflicts, condition, on_file, facts, measures, work, record, by_right, care = sections
    return {
        "instrument": instrument,
        "facts": facts,
        "life": life,
        "statements": weighed[:MOST_STATEMENTS],
        "conflicts": conflicts,
        "keys": keys,
        "measures": measures,
        "work": work,
        "record": record,
        "care": care,
        **problems,
        **condition,
        **on_file,
        **by_right,
    }


def _problems(instrument: Instrument, weighed, keys, *, with_names: bool):
    problems = yield from listing_problems.later(instrument, weighed, keys, with_names=with_names)
    return {"problems": problems, "blockers": [problem for problem in problems if problem.is_blocker]}


def _condition(instrument: Instrument):
    rows, values = yield (
        instrument.findings.current().select_related("found_by"),
        MeasuredValue.objects.filter(finding__instrument=instrument),
    )
    for finding in rows:
        hand_on(finding, "values", [each for each in values if each.finding_id == finding.pk])
    findings = in_order_of_the_walk(rows)
    return {"findings": findings, "enders": purchase_problems(findings)}


def _on_file(instrument: Instrument):
    """Rows that are shown as they are: of some all, of others the newest."""
    weighings = instrument.weighings.with_readings().select_related("weighed_by", "closing")
    shown = {
        "photos": instrument.photos.kept()[:MOST_PHOTOS],
        "recordings": instrument.recordings.kept()[:MOST_RECORDINGS],
        "waiting_places": instrument.waiting_places.open().select_related("person")[:20],
        "visits": instrument.care_visits.with_done_on().select_related("who")[:MOST_OF_CARE],
        "call_backs": instrument.call_backs.all()[:MOST_OF_CARE],
    }
    newest = {
        "listing": Listing.objects.filter(instrument=instrument)[:1],
        "report": instrument.condition_reports.all()[:1],
        "weighing": weighings[:1],
        "price": instrument.asking_prices.all()[:1],
        "clearance": instrument.clearances.all()[:1],
    }
    yield (*shown.values(), *newest.values())
    return shown | {name: rows.first() for name, rows in newest.items()}


def _by_right(instrument: Instrument, user):
    """Whose it is, what customers wish of it, and what it cost; the last two for those whose work it is."""
    wishes = Commission.objects.filter(order__instrument=instrument)[:MOST_WISHES]
    sees_people, sees_costs = user.has_perm("shop.see_people"), user.has_perm("shop.see_costs")
    owned, promise, wishes, looked_for, costs = yield from alongside(
        ownership_of.later(instrument),
        open_promise_of.later(instrument),
        asked.later(wishes if user.has_perm("shop.sell") else Commission.objects.none()),
        who_looks_for.later(instrument) if sees_people else _nothing(),
        _costs(instrument) if sees_costs else _nothing(),
    )
    return {
        "owned": owned,
        "promise": promise,
        "looked_for": (looked_for or [])[:MOST_WHO_LOOK],
        "standings": standings_of(wishes) if wishes else [],
        **(costs if costs and owned.is_stock else {}),
    }


def _nothing():
    yield ()


def _costs(instrument: Instrument):
    cost, purchases = yield from alongside(
        true_cost.later(instrument), asked.later(instrument.purchases.select_related("seller")[:1])
    )
    return {"cost": cost, "purchase": purchases.first()}
