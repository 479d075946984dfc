"""What waits of after-care: tunings due, visits to make and to write up, call-backs, guarantees that end."""

from datetime import date, timedelta

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.urls import reverse

from instruments.models.together import alongside, asked, asking
from instruments.states import Place
from shop.after_care import CareStanding
from shop.care_lists import standings_in_care
from shop.models import CallBack, CallBackAnswer, CallBackJudgement, CareVisit, HandedOver, Sale, SaleCare
from shop.waiting_lines import MOST, SOON, Group, Waiting, day_words, named

A_YEAR = timedelta(days=365)


@asking
def visits_of(user, *, on: date):
    """For whoever goes: no name and no address, those are on the page of the visit."""
    visits = CareVisit.objects.booked().filter(who=user).select_related("instrument", "call_back")
    (visits,) = yield (visits.order_by("booked_for", "id")[:MOST],)
    lines = [_visit(visit, on) for visit in visits]
    more = f"{reverse('shop:visits')}?show=mine"
    return [Group("Your visits", lines, "", more)] if lines else []


@asking
def after_care_waiting(on: date):
    """For those who deal with customers; no group at all where nothing waits."""
    standings, call_backs, late, sales = yield from alongside(
        standings_in_care.later(on=on),
        asked.later(_open_call_backs()[:MOST]),
        asked.later(_late_visits(on)[:MOST]),
        asked.later(_not_agreed(on)[:MOST]),
    )
    groups = [
        Group("Call-backs", [_call_back(each, on) for each in call_backs]),
        Group("Visits not written up", [_visit(each, on) for each in late]),
        Group(
            "Tunings due",
            [_due(each) for each in standings if each.waits][:MOST],
            "",
            reverse("shop:after_care"),
        ),
        Group("Delivered, after-care not agreed", [_to_agree(each) for each in sales]),
        Group("Guarantees that end", _ending(standings, on)),
    ]
    return [group for group in groups if group.lines]


def _late_visits(on: date) -> QuerySet[CareVisit]:
    rows = CareVisit.objects.late(on=on).select_related("instrument", "call_back")
    return rows.order_by("booked_for", "id")


def _visit(visit: CareVisit, on: date) -> Waiting:
    part = f", {visit.call_back.part_name.lower()}" if visit.call_back else ""
    words = f"{named(visit.instrument)}: {visit.get_kind_display().lower()}{part}"
    return Waiting(
        words, day_words(visit.booked_for, on), visit.get_absolute_url(), is_late=visit.booked_for < on
    )


def _open_call_backs() -> QuerySet[CallBack]:
    of_it = {"call_back": OuterRef("pk")}
    return (
        CallBack.objects.open()
        .select_related("instrument", "person")
        .annotate(is_judged=Exists(CallBackJudgement.objects.filter(**of_it)))
        .annotate(is_answered=Exists(CallBackAnswer.objects.filter(**of_it)))
        .order_by("is_answered", "answer_by", "id")
    )


def _call_back(each: CallBack, on: date) -> Waiting:
    return Waiting(
        f"{named(each.instrument)}: {each.part_name.lower()}, {each.person}",
        _call_back_words(each, on),
        each.get_absolute_url(),
        is_late=not each.is_answered and each.answer_by < on,
    )


def _call_back_words(call_back: CallBack, on: date) -> str:
    if call_back.is_answered:
        return "Answered, not closed"
    verb = "Judged: tell them" if call_back.is_judged else "Answer"
    return f"{verb} {day_words(call_back.answer_by, on)}"


def _due(standing: CareStanding) -> Waiting:
    sale, due = standing.sale, standing.next_due_on
    return Waiting(
        f"{named(sale.instrument)} with {sale.person}",
        f"Tuning {day_words(due, standing.on)}" + (", in the price" if standing.included_left else ""),
        f"{sale.get_absolute_url()}#after-care",
        is_late=standing.is_late,
    )


def _not_agreed(on: date) -> QuerySet[Sale]:
    """Delivered within the last year, with nothing said yet of guarantee and tunings; the newest first."""
    agreed = SaleCare.objects.filter(sale=OuterRef("pk"))
    handed = HandedOver.objects.filter(sale=OuterRef("pk"))
    sales = Sale.objects.filter(
        ~Exists(agreed),
        Exists(handed) | Q(instrument__place=Place.CUSTOMER),
        promise__closed_at__isnull=True,
        sold_on__gt=on - A_YEAR,
    )
    return sales.select_related("instrument", "person").order_by("-sold_on", "-id")


def _to_agree(sale: Sale) -> Waiting:
    return Waiting(
        f"{named(sale.instrument)} with {sale.person}",
        f"Sold {sale.sold_on:%-d %B %Y}; say which guarantee and tunings come with it",
        reverse("shop:sale_care", args=[sale.number]),
    )


def _ending(standings: list[CareStanding], on: date) -> list[Waiting]:
    """Parts that leave the guarantee within a fortnight: look at it before they do."""
    ends = [each for each in standings if each.next_end and each.next_end <= on + SOON]
    ends.sort(key=lambda each: (each.next_end, each.sale.pk))
    return [
        Waiting(
            f"{named(each.sale.instrument)} with {each.sale.person}",
            f"Part of the guarantee ends {day_words(each.next_end, on)}",
            f"{each.sale.get_absolute_url()}#after-care",
        )
        for each in ends[:MOST]
    ]
