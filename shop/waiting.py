"""What waits, gathered by the work a person may do; each group is bounded."""

from dataclasses import replace
from datetime import date

from django.db.models import Count, Exists, OuterRef
from django.urls import reverse

from instruments.models import ConditionReport, Instrument
from instruments.states import Part
from shop.bench_waiting import running_low, work_outside
from shop.models import Listing, Promise, Trial, WaitingPlace
from shop.payment_plans import owed_late
from shop.states import ListingState, PromiseKind
from shop.waiting_bench import bench_in_trouble
from shop.waiting_care import after_care_waiting, visits_of
from shop.waiting_credit import credit_running_out
from shop.waiting_enquiries import enquiries_waiting
from shop.waiting_leads import leads_waiting, wanted_and_found
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
    groups = enquiries_waiting(user, on=on)
    if user.has_perm("shop.see_people"):
        groups += [leads_waiting(on), *wanted_and_found(), *tellings_waiting()]
    if user.has_perm("shop.sell"):
        groups += [*left_the_window(), trials_ending(on), holds_ending(on), *their_turn(), could_be_offered()]
        groups += owed_late(on)
        groups += after_care_waiting(on)
        groups += reminders_not_sent()
        groups += [*to_be_delivered(on), *to_be_given_back(on), *repairs_asked_for(on)]
        groups += [*approvals_waited_for(on), *customers_own_going_home(on), *credit_running_out(on, user)]
    if user.has_perm("workorders.override_acceptance"):
        groups += found_at_the_bench()
    if user.has_perm("instruments.inspect_instrument"):
        groups += visits_of(user, on=on)
    if user.has_perm("workorders.do_work"):
        groups += [work_for(user), orders_nearly_ready()]
        groups += [*work_outside(on), *running_low()]
    if user.has_perm("workorders.run_bench"):
        groups += bench_in_trouble(on)
    if user.has_perm("instruments.inspect_instrument"):
        groups += walks_left_open()
    if user.has_perm("instruments.log_instrument"):
        groups += [just_arrived()]
    return groups


def trials_ending(on: date) -> Group:
    trials = Trial.objects.out().filter(ends_on__lte=on + SOON).select_related("instrument", "person")
    return Group(
        "Trials that end",
        [
            Waiting(
                f"{named(trial.instrument)} with {trial.person}",
                day_words(trial.ends_on, on),
                trial.get_absolute_url(),
                is_late=trial.ends_on < on,
            )
            for trial in trials.order_by("ends_on")[:MOST]
        ],
        "No trial ends in the next fortnight.",
        reverse("shop:trials"),
    )


def holds_ending(on: date) -> Group:
    holds = Promise.objects.open().filter(kind=PromiseKind.HOLD, until__lte=on + SOON)
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
            for hold in holds.select_related("instrument", "person").order_by("until")[:MOST]
        ],
        "No hold runs out soon.",
    )


def their_turn() -> list[Group]:
    """Who waits for what nobody has any more. A person asks them; nothing is promised by itself."""
    places = WaitingPlace.objects.in_turn().select_related("instrument", "person")
    lines = [
        Waiting(
            f"{named(place.instrument)}: {place.person} is next",
            f"Waiting since {place.since:%-d %B}. Nobody has it: ask them first",
            f"{place.instrument.get_absolute_url()}#waiting",
        )
        for place in places[:MOST]
    ]
    return [Group("Whose turn it is", lines)] if lines else []


def left_the_window() -> list[Group]:
    """Published, but shown to nobody: the clearance of a protected material does not stand any more."""
    listings = Listing.objects.left_for_want_of_a_paper().select_related("instrument")
    lines = [
        Waiting(
            named(listing.instrument),
            "Out of the window: its clearance does not stand",
            reverse("shop:protected_materials", args=[listing.instrument.stock_number]),
            is_late=True,
        )
        for listing in listings.order_by("-id")[:MOST]
    ]
    return [Group("Left the window by themselves", lines)] if lines else []


def could_be_offered() -> Group:
    """Drafted or withdrawn listings whose instrument nobody has been promised."""
    promised = Promise.objects.open().filter(instrument=OuterRef("instrument"))
    others = [state for state in ListingState if state != ListingState.PUBLISHED]
    listings = Listing.objects.filter(~Exists(promised), state__in=others).select_related("instrument")
    return Group(
        "Could go into the window",
        [
            Waiting(
                named(listing.instrument),
                listing.get_state_display(),
                reverse("shop:listing_edit", args=[listing.instrument.stock_number]),
            )
            for listing in listings.order_by("-id")[:MOST]
        ],
        "Everything drafted is in the window or promised.",
    )


def work_for(user) -> Group:
    items = WorkItem.objects.can_be_done_now().filter(assigned_to=user)
    return Group(
        "On your bench",
        [
            Waiting(
                item.name,
                named(item.order.instrument),
                item.get_absolute_url(),
            )
            for item in items.select_related("order__instrument").order_by("rank", "id")[:MOST]
        ],
        "Nothing assigned to you can be done right now.",
        reverse("workorders:bench"),
    )


def found_at_the_bench() -> list[Group]:
    """What the owner is asked about; no group at all where there is nothing."""
    lines = [
        Waiting(
            f"{named(proposal.finding.instrument)}, {str(proposal).lower()}",
            f"{proposal.proposed_by.get_full_name()}, {proposal.proposed_on:%-d %B}. {proposal.finding.note}",
            reverse("workorders:proposal_agree", args=[proposal.pk]),
        )
        for proposal in WorkProposal.objects.waiting().told().order_by("id")[:MOST]
    ]
    return [Group("Found at the bench: is it to be done?", lines)] if lines else []


def orders_nearly_ready() -> Group:
    """Orders in which something was closed and nothing required is open; an empty one is only begun."""
    of_it = WorkItem.objects.filter(order=OuterRef("pk")).order_by()
    closed = of_it.exclude(state=ItemState.OPEN)
    still_open = of_it.filter(state=ItemState.OPEN, is_required=True)
    orders = WorkOrder.objects.open().filter(Exists(closed), ~Exists(still_open)).select_related("instrument")
    return Group(
        "Orders with all required work done",
        [Waiting(order.title, str(order.instrument), order.get_absolute_url()) for order in orders[:MOST]],
        "No order waits to be called ready.",
    )


def walks_left_open() -> list[Group]:
    """Condition reports that somebody began and nobody closed; no group at all where there is none."""
    reports = ConditionReport.objects.open().select_related("instrument", "begun_by")
    lines = [
        Waiting(
            f"{named(report.instrument)}, {report.get_occasion_display().lower()}",
            f"{report.seen} of {len(Part)} looked at; begun by {report.begun_by.get_full_name()}",
            report.get_absolute_url(),
        )
        for report in reports.annotate(seen=Count("findings__part", distinct=True))[:MOST]
    ]
    return [Group("Walks left open", lines)] if lines else []


def just_arrived() -> Group:
    return Group(
        "Logged last",
        [
            Waiting(named(each), each.sentence, each.get_absolute_url())
            for each in Instrument.objects.order_by("-id")[:5]
        ],
        "Nothing is in stock yet.",
        reverse("stock"),
    )
