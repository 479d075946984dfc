"""What waits, gathered by the work a person may do; each group is bounded."""

from dataclasses import replace
from datetime import date
from functools import cache

from django.db import connection
from django.db.models import Count, Exists, OuterRef
from django.urls import reverse

from instruments.models import ConditionReport, Instrument
from instruments.models.together import asking, together
from instruments.models.worded import OfOne, Worded, beforehand
from instruments.states import Part
from shop.bench_waiting import running_low, work_outside
from shop.looked_for import wanted_and_found
from shop.models import Listing, Promise, ShopProfile, Trial, WaitingPlace
from shop.payment_plans import owed_late
from shop.states import ListingState, PromiseKind
from shop.waiting_bench import trouble_at_the_bench
from shop.waiting_care import after_care_waiting, visits_of
from shop.waiting_credit import credit_running_out
from shop.waiting_enquiries import enquiries_waiting
from shop.waiting_leads import leads_waiting
from shop.waiting_lines import MOST, SOON, Group, Waiting, day_words, named
from shop.waiting_reminders import reminders_not_sent
from shop.waiting_sales import repairs_asked_for, to_be_delivered, to_be_given_back
from shop.waiting_tellings import tellings_waiting
from shop.work_waiting import approvals_waited_for, customers_own_going_home
from workorders.models import WorkItem, WorkOrder, WorkProposal
from workorders.states import ItemState


def waiting_for(user, *, on: date) -> list[Group]:
    """What is late first, in each group and of all groups; groups where nothing waits at the end."""
    groups = [replace(group, lines=sorted(group.lines, key=_is_in_time)) for group in _gathered(user, on)]
    return sorted(groups, key=lambda group: (not any(line.is_late for line in group.lines), not group.lines))


def _is_in_time(line: Waiting) -> bool:
    return not line.is_late


def _gathered(user, on: date) -> list[Group]:
    found = together(*_asked_for(user, on))
    return [group for each in found for group in ([each] if isinstance(each, Group) else each)]


def _asked_for(user, on: date) -> list:
    """What is looked after by such a person; all of it is asked of the database at once."""
    asked = [enquiries_waiting.later(user, on=on)]
    if user.has_perm("shop.see_people"):
        asked += [leads_waiting.later(on), wanted_and_found.later(), tellings_waiting.later()]
    if user.has_perm("shop.sell"):
        asked += [left_the_window.later(), trials_ending.later(on), holds_ending.later(on)]
        asked += [their_turn.later(), could_be_offered.later(), owed_late.later(on)]
        asked += [after_care_waiting.later(on), reminders_not_sent.later(), to_be_delivered.later(on)]
        asked += [to_be_given_back.later(on), repairs_asked_for.later(on), approvals_waited_for.later(on)]
        asked += [customers_own_going_home.later(on), credit_running_out.later(on, user)]
    if user.has_perm("workorders.override_acceptance"):
        asked += [found_at_the_bench.later()]
    if user.has_perm("instruments.inspect_instrument"):
        asked += [visits_of.later(user, on=on)]
    if user.has_perm("workorders.do_work"):
        asked += [work_for.later(user), orders_nearly_ready.later(), work_outside.later(on)]
        asked += [running_low.later()]
    if user.has_perm("workorders.run_bench"):
        asked += [trouble_at_the_bench.later(on)]
    if user.has_perm("instruments.inspect_instrument"):
        asked += [walks_left_open.later()]
    if user.has_perm("instruments.log_instrument"):
        asked += [just_arrived.later()]
    return asked


@asking
def trials_ending(on: date):
    trials = Trial.objects.out().filter(ends_on__lte=on + SOON).select_related("instrument", "person")
    (trials,) = yield (trials.order_by("ends_on")[:MOST],)
    return Group(
        "Trials that end",
        [
            Waiting(
                f"{named(trial.instrument)} with {trial.person}",
                day_words(trial.ends_on, on),
                trial.get_absolute_url(),
                is_late=trial.ends_on < on,
            )
            for trial in trials
        ],
        "No trial ends in the next fortnight.",
        reverse("shop:trials"),
    )


@asking
def holds_ending(on: date):
    holds = Promise.objects.open().filter(kind=PromiseKind.HOLD, until__lte=on + SOON)
    (holds,) = yield (holds.select_related("instrument", "person").order_by("until")[:MOST],)
    return Group(
        "Holds that run out",
        [
            Waiting(
                f"{named(hold.instrument)} for {hold.person}",
                day_words(hold.until, on),
                reverse("shop:hold_release", args=[hold.pk])
                if hold.until <= on
                else hold.instrument.get_absolute_url(),
                is_late=hold.until < on,
            )
            for hold in holds
        ],
        "No hold runs out soon.",
    )


@asking
def their_turn():
    """Who waits for what nobody has any more. A person asks them; nothing is promised by itself."""
    (places,) = yield (WaitingPlace.objects.in_turn().select_related("instrument", "person")[:MOST],)
    lines = [
        Waiting(
            f"{named(place.instrument)}: {place.person} is next",
            f"Waiting since {place.since:%-d %B}. Nobody has it: ask them first",
            f"{place.instrument.get_absolute_url()}#waiting",
        )
        for place in places
    ]
    return [Group("Whose turn it is", lines)] if lines else []


@asking
def left_the_window():
    """Published, but shown to nobody: the clearance of a protected material does not stand any more."""
    left = OfOne(_left_the_window(connection.vendor, ShopProfile.jurisdiction_now()))
    (listings,) = yield (left,)
    lines = [
        Waiting(
            named(listing.instrument),
            "Out of the window: its clearance does not stand",
            reverse("shop:protected_materials", args=[listing.instrument.stock_number]),
            is_late=True,
        )
        for listing in listings
    ]
    return [Group("Left the window by themselves", lines)] if lines else []


@cache
def _left_the_window(vendor: str, jurisdiction: str) -> Worded:
    """With its words put in: SQLite takes no index of a few words for words that it is told only later."""
    listings = Listing.objects.left_for_want_of_a_paper().select_related("instrument")
    return Worded.of(listings.order_by("-id")[:MOST])


@asking
def could_be_offered():
    """Drafted or withdrawn listings whose instrument nobody has been promised."""
    promised = Promise.objects.open().filter(instrument=OuterRef("instrument"))
    listings = Listing.objects.filter(~Exists(promised)).exclude(state=ListingState.PUBLISHED)
    (listings,) = yield (listings.select_related("instrument").order_by("-id")[:MOST],)
    return Group(
        "Could go into the window",
        [
            Waiting(
                named(listing.instrument),
                listing.get_state_display(),
                reverse("shop:listing_edit", args=[listing.instrument.stock_number]),
            )
            for listing in listings
        ],
        "Everything drafted is in the window or promised.",
    )


@asking
def work_for(user):
    items = WorkItem.objects.can_be_done_now().filter(assigned_to=user)
    (items,) = yield (items.select_related("order__instrument").order_by("rank", "id")[:MOST],)
    return Group(
        "On your bench",
        [
            Waiting(
                item.name,
                named(item.order.instrument),
                item.get_absolute_url(),
            )
            for item in items
        ],
        "Nothing assigned to you can be done right now.",
        reverse("workorders:bench"),
    )


@asking
def found_at_the_bench():
    """What the owner is asked about; no group at all where there is nothing."""
    (proposals,) = yield (WorkProposal.objects.waiting().told().order_by("id")[:MOST],)
    lines = [
        Waiting(
            f"{named(proposal.finding.instrument)}, {str(proposal).lower()}",
            f"{proposal.proposed_by.get_full_name()}, {proposal.proposed_on:%-d %B}. {proposal.finding.note}",
            reverse("workorders:proposal_agree", args=[proposal.pk]),
        )
        for proposal in proposals
    ]
    return [Group("Found at the bench: is it to be done?", lines)] if lines else []


@asking
def orders_nearly_ready():
    """Orders in which something was closed and nothing required is open; an empty one is only begun."""
    (orders,) = yield (OfOne(_nearly_ready(connection.vendor)),)
    return Group(
        "Orders with all required work done",
        [Waiting(order.title, str(order.instrument), order.get_absolute_url()) for order in orders],
        "No order waits to be called ready.",
    )


@beforehand
def _nearly_ready(vendor: str) -> Worded:
    """First what rules out most, by an index of what is still required, which wants its words put in."""
    of_it = WorkItem.objects.filter(order=OuterRef("pk")).order_by()
    still_open = of_it.filter(state=ItemState.OPEN, is_required=True)
    closed = of_it.exclude(state=ItemState.OPEN)
    orders = WorkOrder.objects.open().filter(~Exists(still_open), Exists(closed)).select_related("instrument")
    return Worded.of(orders[:MOST])


@asking
def walks_left_open():
    """Condition reports that somebody began and nobody closed; no group at all where there is none."""
    reports = ConditionReport.objects.open().select_related("instrument", "begun_by")
    (reports,) = yield (reports.annotate(seen=Count("findings__part", distinct=True))[:MOST],)
    lines = [
        Waiting(
            f"{named(report.instrument)}, {report.get_occasion_display().lower()}",
            f"{report.seen} of {len(Part)} looked at; begun by {report.begun_by.get_full_name()}",
            report.get_absolute_url(),
        )
        for report in reports
    ]
    return [Group("Walks left open", lines)] if lines else []


@asking
def just_arrived():
    (newest,) = yield (Instrument.objects.order_by("-id")[:5],)
    return Group(
        "Logged last",
        [Waiting(named(each), each.sentence, each.get_absolute_url()) for each in newest],
        "Nothing is in stock yet.",
        reverse("stock"),
    )
