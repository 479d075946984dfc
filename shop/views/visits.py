"""Visits: booked by those who deal with the customer, written up by whoever was there."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from instruments.key_marks import key_strip_of
from shop.actions.visits import book_visit, move_visit, visit_was_not_done, write_up_visit
from shop.after_care import CareStanding, care_of, standing_sale_of
from shop.calc.icalendar import CalendarDay, calendar_file
from shop.care_states import VisitState
from shop.forms.visits import BookVisitForm, MoveVisitForm, VisitNotDoneForm, VisitRecordForm
from shop.models import CallBack, CareVisit, ShopProfile
from shop.views.answers import answer_form, the_instrument, today
from shop.views.call_backs import words_for
from shop.visit_words import visit_lines

A_PAGE = 40
LISTS = {"mine": "Mine", "booked": "Booked", "late": "Not written up", "all": "All"}
REACH = "instruments.inspect_instrument"  # whoever may look at a piano may write up a visit to it


def the_visit(number: str) -> CareVisit:
    rows = CareVisit.objects.select_related("instrument", "sale__person", "call_back__person", "who")
    return get_object_or_404(rows, number=number)


@require_GET
@permission_required(REACH, raise_exception=True)
def visits(request):
    asked = request.GET.get("show", "booked")
    shown = asked if asked in LISTS else "booked"
    rows = CareVisit.objects.with_done_on().select_related(
        "instrument", "sale__person", "call_back__person", "who"
    )
    if shown == "mine":
        rows = rows.booked().filter(who=request.user)
    elif shown == "late":
        rows = rows.late(on=today())
    elif shown == "booked":
        rows = rows.booked()
    order = ("-booked_for", "-id") if shown == "all" else ("booked_for", "id")
    page = Paginator(rows.order_by(*order), A_PAGE).get_page(request.GET.get("page"))
    context = {"page": page, "shown": shown, "lists": LISTS.items(), "today": today()}
    return render(request, "shop/visits.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def visit_book(request, stock_number):
    """For who bought it, or to look at what a call-back told of: `?call_back=` names it."""
    instrument = the_instrument(stock_number)
    call_back = _call_back_asked_for(request, instrument)
    sale = standing_sale_of(instrument)
    care = care_of(sale, on=today()) if sale else None
    left = care.included_left if care else 0
    person = call_back.person if call_back else sale.person if sale else None
    form = BookVisitForm(
        request.POST or None,
        today=today(),
        left=left,
        is_call_back=bool(call_back),
        initial={"where": where_words(person), "included": bool(left)} | _day_due(care, call_back),
    )

    def act() -> str:
        visit = book_visit(
            instrument=instrument, call_back=call_back, by=request.user, on=today(), **form.cleaned_data
        )
        messages.success(request, f"{visit.number} is booked for {visit.booked_for:%-d %B %Y}.")
        return visit.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "instrument": instrument, "person": person, "call_back": call_back}
    return render(request, "shop/visit_book.html", context)


def _day_due(care: CareStanding | None, call_back: CallBack | None) -> dict:
    """The day on which the next tuning is due; today where that has passed."""
    due = care.next_due_on if care and not call_back else None
    return {"booked_for": max(due, today())} if due else {}


def _call_back_asked_for(request, instrument) -> CallBack | None:
    number = request.GET.get("call_back", "").replace("\x00", "")[:20]
    rows = CallBack.objects.open().filter(instrument=instrument, number=number)
    return rows.select_related("person").first() if number else None


def where_words(person) -> str:
    """Where to go and whom to ring, without a name: that is told by those who may see people."""
    return "\n".join(filter(None, [person.address, person.telephone]))[:500] if person else ""


@require_GET
@permission_required(REACH, raise_exception=True)
def visit_page(request, number):
    visit = the_visit(number)
    record = visit.records.standing().select_related("visit", "visited_by", "cost_line").first()
    context = {
        "visit": visit,
        "told": words_for(visit.call_back, request.user) if visit.call_back else "",
        "record": record,
        "lines": visit_lines(record) if record else [],
        "earlier": visit.records.filter(corrected_by__isnull=False).count(),
        "person": visit.sale.person if visit.sale else visit.call_back.person if visit.call_back else None,
        "sees_where": request.user.has_perm("shop.see_people") or visit.who_id == request.user.pk,
        "sale_has_ended": bool(visit.sale_id and hasattr(visit.sale, "ending")),
        "today": today(),
    }
    return render(request, "shop/visit_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required(REACH, raise_exception=True)
def visit_done(request, number):
    """What was found, left and advised. Opened again, what was written is corrected by a newer row."""
    visit = the_visit(number)
    if visit.state == VisitState.NOT_DONE:
        messages.info(request, f"{number} was not done. Book another visit.")
        return redirect(visit)
    before = visit.records.standing().first()
    form = VisitRecordForm(request.POST or None, visit=visit, today=today(), before=before)

    def act() -> str:
        write_up_visit(visit=visit, by=request.user, on=today(), **form.record())
        messages.success(request, f"{number} is written up.")
        return visit.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "visit": visit,
        "told": words_for(visit.call_back, request.user) if visit.call_back else "",
        "instrument": visit.instrument,
        "before": before,
        "strip": key_strip_of(visit.instrument),
    }
    return render(request, "shop/visit_done.html", context)


@require_http_methods(["GET", "POST"])
@permission_required(REACH, raise_exception=True)
def visit_not_done(request, number):
    visit = the_visit(number)
    day = min(visit.booked_for, today())
    form = VisitNotDoneForm(request.POST or None, initial={"visited_on": day})

    def act() -> str:
        visit_was_not_done(visit=visit, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{number} was not done. It can be booked again.")
        return visit.get_absolute_url()

    return answer_form(request, form, act) or _act_page(
        request, visit, form, heading="It was not done", lede="Say why; the day stays in the record."
    )


@require_http_methods(["GET", "POST"])
@permission_required(REACH, raise_exception=True)
def visit_move(request, number):
    visit = the_visit(number)
    initial = {"booked_for": visit.booked_for, "who": visit.who_id}
    form = MoveVisitForm(request.POST or None, today=today(), initial=initial)

    def act() -> str:
        moved = move_visit(visit=visit, by=request.user, **form.cleaned_data)
        messages.success(request, f"{number} is on {moved.booked_for:%-d %B %Y} now.")
        return visit.get_absolute_url()

    return answer_form(request, form, act) or _act_page(
        request, visit, form, heading="Move the visit", lede="Another day, or somebody else who goes."
    )


def _act_page(request, visit: CareVisit, form, **words):
    context = {"visit": visit, "instrument": visit.instrument, "form": form, **words}
    return render(request, "shop/visit_act.html", context)


@require_GET
@permission_required(REACH, raise_exception=True)
def visit_calendar(request, number):
    """The booked day as a file for a calendar; with the address for those who may read it."""
    rows = CareVisit.objects.booked().select_related("instrument", "who", "call_back")
    visit = get_object_or_404(rows, number=number)
    shop = ShopProfile.current()
    sees_where = request.user.has_perm("shop.see_people") or visit.who_id == request.user.pk
    where = visit.where if sees_where else ""
    instrument = visit.instrument
    day = CalendarDay(
        uid=f"visit-{visit.number}@{instrument.stock_number}.wrestplank",
        day=visit.booked_for,
        summary=f"{visit.get_kind_display()}: {instrument.maker_name} {instrument.stock_number}",
        description="\n".join(filter(None, [_told(visit), where, visit.note, shop.name, shop.telephone])),
    )
    return HttpResponse(
        calendar_file([day], written_at=timezone.now()),
        content_type="text/calendar; charset=utf-8",
        headers={"Content-Disposition": f'attachment; filename="visit-{visit.number}.ics"'},
    )


def _told(visit: CareVisit) -> str:
    return f"{visit.call_back.number}: {visit.call_back.part_name.lower()}" if visit.call_back else ""
