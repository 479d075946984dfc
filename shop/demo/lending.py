"""From the table of home trials to entries of the diary, each step on its day through the actions."""

from datetime import date, timedelta
from decimal import Decimal
from math import sin

from instruments.documents.fingerprint import content_hash
from shop.actions.agreements import agreement_words, keep_agreement, terms_of
from shop.actions.deductions import Agreed, agree_deduction
from shop.actions.papers import stored_paper
from shop.actions.signatures import drawn, signed_agreement
from shop.actions.trial_extensions import extend_trial
from shop.actions.trial_papers import issue_slip, keep_signed_slip, signed_slip
from shop.actions.trial_steps import (
    agree_mover,
    record_collection,
    record_delivery,
    record_home_climate,
    survey_access,
)
from shop.actions.trials import draft_trial, exchange_trial, keep_trial, return_trial, start_trial
from shop.calc.signature import Drawing
from shop.demo.dealing import DELIVERED_AFTER, deliver, seller, show_again
from shop.demo.diary import Diary
from shop.demo.examining import examine
from shop.demo.shop_at_work import ShopAtWork
from shop.demo.trials import HOUSE_TERMS, TRIALS, Exchanged, Followed, HomeTrial, Kept, Returned
from shop.documents.trial_agreement import build_trial_agreement
from shop.documents.trial_slip import build_trial_slip
from shop.models import Trial
from shop.states import GiveBack, PaperKind
from shop.trial_reports import reports_of_trial
from shop.trial_slips import slip_of
from shop.trial_states import Leg


def tell_trials(shop: ShopAtWork, diary: Diary) -> None:
    for story in TRIALS:
        tell_trial(story, shop, diary)


def tell_trial(story: HomeTrial, shop: ShopAtWork, diary: Diary) -> None:
    starts_on = first_day(story, diary)
    if story.agreed is None:
        diary.on(1, lambda on: draft(story, starts_on, shop, on))
        diary.on(1, lambda on: ask_the_way_in(story, shop, on))
        return
    drafted = story.agreed + 1
    diary.on(drafted, lambda on: draft(story, starts_on, shop, on))
    if story.steps:
        diary.on(drafted, lambda on: ask_the_way_in(story, shop, on))
        diary.on(drafted, lambda on: book(story, Leg.OUT, starts_on, shop, on))
    diary.on(story.agreed, lambda on: agree(story, shop, on))
    if story.steps:
        sheet = max(story.starts, 1)
        examined = story.steps.handed_over
        diary.on(sheet, lambda on: examine(story.key, examined, shop, on, occasion="out_on_trial"))
    if story.is_brought:
        diary.on(story.starts, lambda on: bring(story, shop, on))
    for days_ago, degrees, humidity, words in story.told:
        air = {"temperature_c": Decimal(degrees), "humidity_percent": Decimal(humidity), "note": words}
        diary.on(days_ago, lambda on, air=air: hear_of_the_air(story, air, shop, on))
    if story.extended:
        diary.on(story.extended[0], lambda on: give_more_time(story, shop, on))
    tell_ending(story, shop, diary)


def tell_ending(story: HomeTrial, shop: ShopAtWork, diary: Diary) -> None:
    match story.ending:
        case Kept(ended, note):
            diary.on(ended, lambda on: keep(story, note, shop, on))
        case Exchanged(ended, other, _, _, back_in_window):
            fetched = ended - DELIVERED_AFTER
            diary.on(ended, lambda on: book(story, Leg.BACK, diary.day(fetched), shop, on))
            diary.on(ended, lambda on: exchange(story, story.ending, shop, on))
            diary.on(fetched, lambda on: deliver(other, shop, on))
            diary.on(fetched, lambda on: fetch(story, shop, on))
            diary.on(back_in_window, lambda on: show_again(story.key, shop, on))
        case Followed(other, back_in_window):
            following = next(each for each in TRIALS if each.key == other)
            brought_on = first_day(following, diary)
            diary.on(following.agreed + 1, lambda on: book(story, Leg.BACK, brought_on, shop, on))
            diary.on(following.starts, lambda on: fetch(story, shop, on))
            diary.on(back_in_window, lambda on: show_again(story.key, shop, on))
        case Returned(ended):
            diary.on(ended + 2, lambda on: book(story, Leg.BACK, diary.day(ended + 1), shop, on))
            diary.on(ended + 1, lambda on: fetch(story, shop, on))
            diary.on(ended, lambda on: settle_return(story, story.ending, shop, on))


def first_day(story: HomeTrial, diary: Diary) -> date:
    return diary.day(story.starts) if story.starts > 0 else diary.today + timedelta(days=-story.starts)


def the_trial(story: HomeTrial, shop: ShopAtWork) -> Trial:
    rows = Trial.objects.select_related("instrument", "person", "promise", "credit_terms", "terms")
    return rows.get(instrument=shop.instrument(story.key))


def draft(story: HomeTrial, starts_on: date, shop: ShopAtWork, on: date) -> None:
    customer = shop.person(story.who)
    before = next((each for each in TRIALS if each.ending and is_followed_by(each, story)), None)
    draft_trial(
        instrument=shop.instrument(story.key),
        person=customer,
        exchanged_from=the_trial(before, shop) if before else None,
        credit=story.credit,
        price_minor=story.price * 100,
        pay_now_minor=story.paid * 100,
        delivery_minor=story.delivery * 100,
        starts_on=starts_on,
        ends_on=starts_on + timedelta(days=story.days),
        address=customer.address,
        delivery_note=story.delivery_note,
        special_terms=HOUSE_TERMS,
        by=seller(shop),
        on=on,
    )


def is_followed_by(story: HomeTrial, other: HomeTrial) -> bool:
    return isinstance(story.ending, Followed) and story.ending.other == other.key


def ask_the_way_in(story: HomeTrial, shop: ShopAtWork, on: date) -> None:
    if story.steps is None:
        return
    way_in = story.steps.way_in
    survey_access(
        trial=the_trial(story, shop),
        asked_on=on,
        told_by=story.who,
        floor=way_in.floor,
        flights=list(way_in.flights),
        turns=way_in.turns,
        doors_cm=list(way_in.doors_cm),
        surface=way_in.surface,
        parking_m=way_in.parking_m,
        note=way_in.note,
        by=seller(shop),
        on=on,
    )


def book(story: HomeTrial, leg: str, day: date, shop: ShopAtWork, on: date) -> None:
    agree_mover(
        trial=the_trial(story, shop),
        leg=leg,
        mover=story.steps.mover,
        day=day,
        amount_minor=story.steps.pounds * 100,
        by=seller(shop),
        on=on,
    )


def agree(story: HomeTrial, shop: ShopAtWork, on: date) -> None:
    """Print the agreement, start the trial, and keep what was printed; with steps, signed on a screen."""
    trial, by = the_trial(story, shop), seller(shop)
    terms, words = terms_of(trial), agreement_words(trial, on=on)
    if story.steps:
        names = {"customer": signature_of(story.who), "shop": signature_of(by.get_full_name())}
        words = signed_agreement(words, read_hash=content_hash(words), **names)
    with stored_paper(trial.number, build_trial_agreement(words)) as stored:
        started = start_trial(trial=trial, method=story.method, by=by, on=on)
        agreed = {"terms": terms, "agreement": words, "agreed_hash": content_hash(words)}
        keep_agreement(trial=started, stored=stored, by=by, **agreed)


def bring(story: HomeTrial, shop: ShopAtWork, on: date) -> None:
    """It stands in its room; the delivery note is signed at the door."""
    trial, steps = the_trial(story, shop), story.steps
    temperature, humidity = steps.air
    record_delivery(
        trial=trial,
        report=reports_of_trial(trial)[0],
        air={
            "temperature_c": Decimal(temperature),
            "humidity_percent": Decimal(humidity),
            "room": steps.room.partition(":")[0],
        },
        delivered_on=on,
        received_by=story.who,
        room_position=steps.room,
        heating=steps.heating,
        by=seller(shop),
        on=on,
    )
    sign(story, PaperKind.TRIAL_DELIVERY, shop)


def sign(story: HomeTrial, kind: str, shop: ShopAtWork) -> None:
    trial, by = the_trial(story, shop), seller(shop)
    slip, _ = slip_of(trial, kind)
    paper = issue_slip(trial=trial, kind=kind, slip=slip, by=by)
    signed = signed_slip(
        paper,
        read_hash=content_hash(slip),
        customer=signature_of(story.who),
        shop=signature_of(by.get_full_name()),
    )
    with stored_paper(f"{slip.number}-signed", build_trial_slip(signed)) as stored:
        keep_signed_slip(paper=paper, slip=signed, stored=stored, by=by)


def signature_of(name: str):
    """An invented hand: a line for each word, in waves that its letters make."""
    strokes, x = [], 60
    for word in name.split():
        points = [
            (x + step * 7, round(150 + (ord(letter) % 11 * 9 - 30) * sin(step + at)))
            for at, letter in enumerate(word)
            for step in range(at * 4, at * 4 + 4)
        ]
        strokes.append(tuple(points))
        x = points[-1][0] + 45
    return drawn(name, Drawing(tuple(strokes)))


def hear_of_the_air(story: HomeTrial, air: dict, shop: ShopAtWork, on: date) -> None:
    room = story.steps.room.partition(":")[0]
    record_home_climate(
        trial=the_trial(story, shop), room=room, told_by=story.who, by=seller(shop), on=on, **air
    )


def give_more_time(story: HomeTrial, shop: ShopAtWork, on: date) -> None:
    _, days, why = story.extended
    trial = the_trial(story, shop)
    until = trial.ends_on + timedelta(days=days)
    extend_trial(trial=trial, until=until, why=why, agreed_on=on, by=seller(shop), on=on)


def keep(story: HomeTrial, note: str, shop: ShopAtWork, on: date) -> None:
    keep_trial(trial=the_trial(story, shop), note=note, by=seller(shop), on=on)


def exchange(story: HomeTrial, ending: Exchanged, shop: ShopAtWork, on: date) -> None:
    exchange_trial(
        trial=the_trial(story, shop),
        other=shop.instrument(ending.other),
        other_price_minor=ending.other_price * 100,
        note=ending.note,
        by=seller(shop),
        on=on,
    )


def fetch(story: HomeTrial, shop: ShopAtWork, on: date) -> None:
    """Back with us, and looked over beside the sheet of its hand-over."""
    record_collection(
        trial=the_trial(story, shop),
        collected_on=on,
        mover=story.steps.mover,
        handed_over_by=story.who,
        by=seller(shop),
        on=on,
    )
    examine(story.key, story.steps.found_back, shop, on, occasion="back_from_trial")


def settle_return(story: HomeTrial, ending: Returned, shop: ShopAtWork, on: date) -> None:
    """What both agree on at the sheet is deducted line by line; the rest goes back."""
    by = seller(shop)
    for kind, words, pounds in ending.deducted:
        line = Agreed(kind, words, pounds * 100, "signed", on)
        agree_deduction(trial=the_trial(story, shop), line=line, by=by, on=on)
    return_trial(
        trial=the_trial(story, shop),
        give_back=GiveBack.REFUND,
        method="transfer",
        note=ending.note,
        by=by,
        on=on,
    )
    sign(story, PaperKind.TRIAL_SETTLEMENT, shop)
