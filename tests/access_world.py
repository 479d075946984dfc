"""One row of everything, with names that must not turn up where they do not belong."""

from datetime import date, timedelta
from decimal import Decimal
from types import SimpleNamespace

from django.contrib.auth.models import Group, User
from django.urls import URLPattern

from instruments.actions.findings import record_finding
from instruments.actions.key_marks import mark_keys
from shop.actions.care_terms import agree_care, load_guarantee_parts, usual_terms
from shop.actions.deductions import Agreed, agree_deduction
from shop.actions.enquiries import pass_on
from shop.actions.enquiry_answers import answer_enquiry
from shop.actions.histories import issue_history
from shop.actions.listing import draft_listing
from shop.actions.passwords import way_to_a_new_password
from shop.actions.payment_plans import agree_plan
from shop.actions.person_export import hand_out
from shop.actions.photo_links import make_link
from shop.actions.promises import place_hold, release_hold
from shop.actions.receipts import issue_receipt
from shop.actions.sale_course import ask_repair
from shop.actions.sale_notices import give_notice
from shop.actions.terms import load_clauses
from shop.actions.waiting_list import join_waiting_list
from shop.models import Listing, TermsVersion
from shop.tellings import no_more_path
from tests import make
from tests.make_care import make_after_care
from tests.make_commission import make_approval, make_commission, make_quote
from tests.make_enquiry import make_enquiry
from tests.make_recording import make_film, make_recording
from tests.make_sale import make_delivered_sale, make_sale
from workorders.actions.bench import log_time, use_part
from workorders.actions.bench_hours import record_days_away
from workorders.actions.outside import bill_outside
from workorders.actions.proposals import propose_work
from workorders.actions.stores import receive

ROLES = ("Buyer", "Technician", "Sales", "Owner")
EVIDENCE_WORDS = ("evidence", "document", "tell_tale", "serial_mark", "lead_size")
COMMISSION_WORDS = ("commission", "quote", "approval", "extra", "work_", "touch_adopt")
MEASURE_WORDS = ("pin_survey", "pin_line", "pitch_survey", "wire_survey")


A_CHIP = Agreed("damage", "A chip", 1, "signed", make.A_DAY)


def make_people() -> dict[str, User]:
    """By each of ROLES somebody who has it."""
    groups = {group.name: group for group in Group.objects.all()}
    return {role: make.make_user(role.lower(), f"{role} Prowse", groups[role]) for role in ROLES}


def make_world(by) -> SimpleNamespace:
    customer, seller = make.make_person(name="Canary Customer"), make.make_person(name="Canary Seller")
    listed, lent, drafted, held, sold = (make.make_instrument(by=by) for _ in range(5))
    for instrument in (listed, lent, drafted, held, sold):
        make.make_purchase(instrument=instrument, price_minor=123_456, seller=seller, by=by)
        make.make_price(instrument=instrument, by=by)
    photo = make.make_photo(instrument=listed)
    listing = draft_listing(instrument=listed, by=by)
    make.put_in_window(listing, by=by)
    order = make.make_order(instrument=drafted, by=by)
    taken_in = make.make_taken_in(person=customer, by=by)
    commission = make_commission(taken_in=taken_in, by=by)
    make_approval(quote=make_quote(commission=commission, by=by), with_file=True, by=by)
    on = make.A_DAY
    record_finding(instrument=listed, part="keys", condition="repair", keys="C4", by=by, on=on)
    mark_keys(instrument=listed, keys=(40, 41), fault="sticks", by=by, on=on)
    marks = mark_keys(instrument=drafted, keys=(40,), fault="buzzes", by=by, on=on).new
    sale = make_sale(instrument=sold, person=customer, paid=40_000, by=by, on=on)
    guarantee_part = load_guarantee_parts()[0]
    agree_care(sale=sale, terms=usual_terms(), by=by)
    call_back, visit = make_after_care(sale, by=by)
    hand_out(person=customer, zipped=b"", asked_how="letter", asked_on=on, by=by)
    return SimpleNamespace(
        instrument=listed,
        colleague=(colleague := make.make_user("cora", "Cora Wick")),
        way=way_to_a_new_password(colleague),
        listing=Listing.objects.get(pk=listing.pk),
        photo=photo,
        person=customer,
        trial=(trial := make.make_delivered_trial(instrument=lent, person=customer, by=by)),
        deduction=agree_deduction(trial=trial, line=A_CHIP, by=by, on=on),
        hold=place_hold(instrument=held, person=customer, until=on + timedelta(days=7), by=by, on=on),
        let_go=hold_let_go(customer, by, on),
        place=join_waiting_list(instrument=held, person=make.make_person(name="Ida Waites"), by=by, on=on),
        sale=sale,
        paper=issue_receipt(receipt=sale.promise.payments.first().receipt, by=by),
        guarantee_part=guarantee_part,
        delivered=(delivered := make_delivered_sale(person=make.make_person(name="Ada Back"), by=by, on=on)),
        repair=ask_repair(sale=delivered, asked_on=on, what="A key sticks", by=by),
        notice=give_notice(sale=delivered, kind="goodwill", told_on=on, by=by),
        call_back=call_back,
        visit=visit,
        order=order,
        taken_in=taken_in,
        commission=commission,
        item=(item := make.make_item(order=order, marks=marks)),
        task=(task := make.make_task()),
        task_set=make.make_task_set(tasks=[task]),
        suggestion=make.make_suggestion(task=task, part="keys", condition="repair"),
        time=log_time(item=item, person=by, minutes=30, by=by, on=on),
        proposal=propose_work(item=item, part="case", condition="attend", by=by, on=on),
        part=use_part(item=item, name="Felt", quantity=Decimal(1), by=by, on=on),
        consumable=(consumable := make.make_consumable(by=by)),
        delivery=receive(consumable=consumable, quantity=Decimal(100), cost_minor=123_456, by=by, on=on),
        job=(job := make.make_outside_job(by=by)),
        outworker=job.outworker,
        bill=bill_outside(job=job, amount_minor=123_456, by=by, on=on),
        days_away=record_days_away(person=by, first_day=on, last_day=on, kind="holiday", by=by),
        statement=(statement := make.make_statement(instrument=listed, by=by)),
        weighing=make.make_weighing(instrument=listed, by=by),
        evidence=make.make_evidence(statement=statement, by=by),
        document=make.make_document(instrument=listed, by=by),
        tell_tale=make.make_tell_tale(),
        serial_mark=make.make_serial_mark(by=by),
        lead_size=make.make_lead_size(by=by),
        report=(report := make.make_report(instrument=listed, by=by)),
        other_report=make.make_report(instrument=listed, by=by, occasion="finished"),
        finding=make.make_line(report=report, by=by),
        pin_survey=make.make_pin_survey(instrument=listed, by=by),
        pin_line=make.make_pin_line(by=by),
        pitch_survey=make.make_pitch_survey(instrument=listed, by=by),
        wire_survey=make.make_wire_survey(instrument=listed, by=by),
        recording=make_recording(instrument=listed, by=by, is_public=True),
        film=make_film(instrument=listed, by=by),
        period=make.make_period(by=by),
        lead=(lead := make.make_lead(person=customer, by=by)),
        lead_photo=make.make_lead_photo(lead=lead, by=by),
        link=make_link(lead=lead, by=by, on=date.today()),
        agreement=make.make_sale_or_return(by=by, owner=seller),
        wanted=make.make_wanted(person=customer, by=by),
        enquiry=enquiry_for_the_bench(listed, by),
        no_more=no_more_path(make.make_wanted(person=customer, by=by)).split("/")[-2],
        clause=load_clauses()[0],
        terms=TermsVersion.objects.get(),
        history=issue_history(instrument=listed, by=by, on=on),
    )


def enquiry_for_the_bench(instrument, by):
    """Passed on to a technician where there is one, who reads it without the names."""
    enquiry = make_enquiry(
        name="Canary Customer", message="Canary Customer here: it buzzes", instrument=instrument
    )
    answer_enquiry(enquiry=enquiry, how="telephone", words="Dear Canary Customer, bring it", by=by)
    bench = User.objects.filter(groups__name="Technician").first()
    return pass_on(enquiry=enquiry, to=bench, why="Canary Customer asks about a buzz", by=by)


def stage_of(sale):
    """A stage of the sale that waits for something; agreed on now if none was."""
    plan = sale.payment_plans.first()
    if plan is None:
        by, on = sale.recorded_by, sale.sold_on
        whole = {"words": "All of it", "amount_minor": sale.promise.price_minor, "event": "when it leaves"}
        plan = agree_plan(sale=sale, stages=[whole], agreed_on=on, written="A letter", by=by, on=on)
    return plan.stages.get()


def hold_let_go(person, by, on):
    """A hold of long ago of which something was kept."""
    began = on - timedelta(days=60)
    hold = place_hold(
        instrument=make.make_instrument(by=by),
        person=person,
        until=began + timedelta(days=20),
        deposit_minor=20_000,
        method="card",
        by=by,
        on=began,
    )
    kept = {"kept_minor": 1_500, "kept_reason": "Storage", "told_how": "By letter"}
    return release_hold(promise=hold, give_back="refund", method="card", **kept, by=by, on=on)


def arguments_for(entry: URLPattern, name: str, world) -> dict:
    """What an address wants in its path, taken from the world by the names the addresses use."""
    by_name = {
        "stock_number": world.instrument.stock_number,
        "slug": world.listing.slug,
        "code": _code(name, world),
        "label": world.terms.label,
        "number": _number(name, world),
        "pk": _key(name, world),
        "size": "thumb",
        "which": "copy",
        "version": 1,
        "question": world.tell_tale.question,
        "station": "keys",
        "report": "ageing",
        "other": world.other_report.pk,
        "form": "short",
        "leg": "back",
        "paper": world.paper.pk,
        "kind": "trial_delivery",
        "token": _token(name, world),
    }
    return {wanted: by_name[wanted] for wanted in entry.pattern.converters}


def _token(name: str, world) -> str:
    if name == "tell_no_more":
        return world.no_more
    if name == "photo_send":
        return world.link.token
    return world.history.token if name.startswith("history") else "0" * 32


def _code(name: str, world) -> str:
    if name == "shop:guarantee_part_edit":
        return world.guarantee_part.code
    if name.startswith("shop:listing_"):
        return "short" if "order" in name else "made"
    if name.startswith("shop:"):
        return world.clause.code
    return world.task_set.code if "task_set" in name else world.task.code


def _number(name: str, world) -> str:
    if name.startswith(("shop:lead", "shop:link")):
        return world.lead.number
    if name.startswith("shop:enquiry_"):
        return world.enquiry.number
    if name.startswith(("shop:visit_", "shop:call_back_")):
        return world.visit.number if "visit" in name else world.call_back.number
    if name.startswith("shop:history"):
        return world.history.number
    if name == "shop:receipt_print":
        return world.trial.promise.payments.first().receipt.number
    if name.startswith("shop:sale_or_return"):
        return world.agreement.number
    if name.startswith(("shop:sale_repair", "shop:sale_notice_back")):
        return world.delivered.number
    if name.startswith(("shop:sale", "shop:care_remind")):
        return world.sale.number
    if name.startswith("shop:taken_in"):
        return world.taken_in.number
    if name.removeprefix("shop:").startswith(COMMISSION_WORDS):
        return world.commission.number
    if name.startswith("workorders:outside_") and not name.endswith("_ask"):
        return world.job.number
    return world.order.number if name.startswith("workorders:") else world.trial.number


def _key(name: str, world) -> int:
    if name == "listing_sound":
        return world.recording.pk
    if name.startswith("shop:staff_"):
        return world.colleague.pk
    if name == "shop:listing_version":
        return world.listing.publications.get().pk
    if name == "shop:period_page":
        return world.period.pk
    if name == "shop:trial_deduction_back":
        return world.deduction.pk
    if name.startswith(("shop:credit_pay_out", "shop:credit_ran_out", "shop:person_statement")):
        return world.person.pk
    if name == "shop:waiting_leave":
        return world.place.pk
    if name.startswith("shop:hold_") or name == "shop:promise_calendar":
        return world.hold.pk
    if name == "shop:sale_repair_back":
        return world.repair.pk
    if name == "shop:stage_reached":
        return stage_of(world.sale).pk
    if name == "shop:promise_give_back":
        return world.let_go.pk
    if name in {"shop:payment_take", "shop:credit_spend"}:
        return world.sale.promise.pk
    if name.startswith("shop:lead_photo"):
        return world.lead_photo.pk
    if name == "shop:link_close" or name.startswith("shop:wanted_"):
        return (world.link if "link" in name else world.wanted).pk
    if name == "instruments:raise_choice":
        return world.pitch_survey.pk
    if name.endswith("_take_back"):
        return getattr(world, name.removeprefix("workorders:").removesuffix("_take_back")).pk
    if "lead" in name and not name.endswith("lead_size_edit"):
        return world.weighing.pk
    if "condition_" in name:
        return world.report.pk
    for word in (
        *("photo", "person", "statement", "weighing", "item", "suggestion", "proposal"),
        *("consumable", "outworker", "recording", "film"),
        *EVIDENCE_WORDS,
        *MEASURE_WORDS,
    ):
        if word in name:
            return getattr(world, word).pk
    return world.item.pk
