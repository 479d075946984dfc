"""The one-page papers of a home trial: what they say, that they stay as printed, and who signed them."""

import re
from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from instruments.actions.history import save_tracked
from instruments.documents.fingerprint import content_hash
from shop.actions.credit_days import expire_credit
from shop.actions.deductions import Agreed, agree_deduction, take_back_deduction
from shop.actions.holds import give_back_later
from shop.actions.ledger import pay_out_credit, take_payment
from shop.actions.trial_extensions import extend_trial
from shop.actions.trial_papers import slip_words
from shop.actions.trial_steps import agree_mover, record_collection, record_delivery, survey_access
from shop.actions.trials import exchange_trial, keep_trial, return_trial, start_trial
from shop.calc.credit_terms import CreditRule
from shop.deduction_states import DeductionKind
from shop.documents.trial_slip import build_trial_slip, plain_slip, slip_from
from shop.models import Paper, PaperSignature, Payment, Trial
from shop.settlement import settlement_lines
from shop.trial_slips import slip_of
from shop.verification import Verification
from tests import make
from tests.drawn import jpeg
from tests.hostile import HOSTILE_TEXTS
from tests.reading import Reading, printed
from tests.shop.test_signature import DRAWN

pytestmark = pytest.mark.django_db
KINDS = ("trial_extension", "trial_delivery", "trial_collection", "trial_settlement")


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def fresh(trial: Trial) -> Trial:
    return Trial.objects.select_related("instrument", "person", "promise").get(pk=trial.pk)


def lived(by, **words) -> Trial:
    """Everything that can be on paper, of a trial that came back."""
    on, note = make.A_DAY, words.get("note", "Key of the fall with it.")
    trial = make.make_running_trial(
        person=make.make_person(name=words.get("name", "Wilf Arden")),
        instrument=make.make_instrument(weight_kg=230, maker=words.get("maker", "Halden & Rook")),
    )
    report = make.make_report(instrument=trial.instrument, by=by, occasion="out_on_trial")
    make.make_line(report=report, part="case", condition="repair", note=note, by=by)
    survey_access(
        trial=trial, by=by, on=on, asked_on=on, told_by="Wilf", floor=2, flights=[14, 12], surface=note[:100]
    )
    agree_mover(trial=trial, leg="out", mover="Cobb Carriers", day=on, by=by, on=on)
    air = {"temperature_c": Decimal(20), "humidity_percent": Decimal(50), "room": "Hall"}
    there = {"delivered_on": on, "received_by": "Nell Sorrel", "note": note, "report": report}
    record_delivery(trial=trial, air=air, by=by, on=on, **there)
    until = trial.ends_on + timedelta(days=7)
    extend_trial(trial=trial, until=until, why=note, agreed_on=on, by=by, on=on)
    fetched = {"collected_on": on, "mover": "Cobb", "handed_over_by": "Nell", "note": note}
    record_collection(trial=fresh(trial), by=by, on=on, **fetched)
    return_trial(
        trial=fresh(trial),
        deduction=Agreed(DeductionKind.DAMAGE, "A scratch", 4_500, "signed", on),
        note="A scratch",
        give_back="refund",
        method="card",
        by=by,
        on=on,
    )
    return fresh(trial)


def paper(desk, trial, kind) -> bytes:
    answer = printed(desk, reverse("shop:trial_paper", args=[trial.number, kind]))
    assert answer.status_code == 200 and answer["Content-Type"] == "application/pdf"
    return answer.content


def test_each_paper_says_its_facts_on_one_page(desk, seller):
    trial = lived(seller)
    said = {kind: Reading(paper(desk, trial, kind)) for kind in KINDS}
    assert {kind: reading.page_count for kind, reading in said.items()} == dict.fromkeys(KINDS, 1)
    words = {
        "trial_extension": ["Last day until now", "2 May 2026", "9 May 2026", "regulated hire"],
        "trial_delivery": [
            "Nell Sorrel",
            "14 + 12 = 26 steps",
            "230 kg",
            "Only movers who do pianos",
            "20 °C",
        ],
        "trial_collection": ["Cobb", "Key of the fall with it.", "No condition report was written"],
        "trial_settlement": ["£1,800.00", "£1,755.00", "£45.00", "A scratch"],
    }
    for kind, wanted in words.items():
        text = " ".join(said[kind].text.split())
        assert all(each in text for each in [*wanted, "Signature", trial.number]), (kind, text)


def test_a_paper_is_kept_as_it_was_first_printed_and_verified(desk, seller):
    trial = lived(seller)
    first = {kind: paper(desk, trial, kind) for kind in KINDS}
    trial.person.name = "Another Name"
    save_tracked(trial.person, by=seller, why="Married")
    assert {kind: paper(desk, trial, kind) for kind in KINDS} == first
    assert Paper.objects.count() == len(KINDS)
    assert list(Verification().faults()) == []
    kept = Paper.objects.last()
    with open(kept.file.path, "ab") as file:  # noqa: PTH123 - as a fault of the disk would
        file.write(b"x")
    assert any("not the one that was kept" in fault for fault in Verification().faults())


def test_a_correction_is_printed_under_a_number_of_its_own(desk, seller):
    trial = make.make_delivered_trial()
    paper(desk, trial, "trial_delivery")
    record_delivery(trial=trial, delivered_on=make.A_DAY, received_by="His sister", by=seller, on=make.A_DAY)
    assert "His sister" in Reading(paper(desk, trial, "trial_delivery")).text
    assert list(Paper.objects.order_by("id").values_list("number", flat=True)) == [
        f"{trial.number}-D1",
        f"{trial.number}-D2",
    ]


def test_before_the_day_one_is_printed_to_take_along_and_nothing_is_kept(desk):
    trial = make.make_running_trial()
    assert "written in at the door" in Reading(paper(desk, trial, "trial_delivery")).text
    assert not Paper.objects.exists()
    assert (
        desk.get(reverse("shop:trial_paper_sign", args=[trial.number, "trial_delivery"])).status_code == 404
    )


@pytest.mark.parametrize("kind", ["trial_extension", "trial_settlement", "invoice", "x"])
def test_what_has_no_paper_has_none(desk, kind):
    trial = make.make_running_trial()
    assert desk.get(reverse("shop:trial_paper", args=[trial.number, kind])).status_code == 404


def settled(trial, by, ending: str):
    on = make.A_DAY
    if ending == "kept":
        return keep_trial(trial=trial, by=by, on=on)
    if ending == "exchanged":
        return exchange_trial(
            trial=trial, other=make.make_instrument(), other_price_minor=100_000, by=by, on=on
        )
    return return_trial(
        trial=trial,
        deduction=Agreed(DeductionKind.DAMAGE, "x", 1, "signed", on),
        note="x",
        give_back=ending,
        method="card",
        by=by,
        on=on,
    )


def in_pence(line) -> int:
    return int(re.sub(r"[£,.]", "", line.amount).replace("−", "-"))


@pytest.mark.parametrize("ending", ["kept", "exchanged", "refund", "credit"])
@pytest.mark.parametrize("share", [100, 67])
def test_the_settlement_accounts_for_all_that_was_paid_in_every_ending(seller, ending, share):
    trial = make.make_running_trial(pay_now_minor=120_001, credit_percent=share, delivery_minor=9_500)
    settled(trial, seller, ending)
    *rows, total, fee = settlement_lines(fresh(trial))
    moved = (
        Payment.objects.filter(promise=trial.promise).toward_price().values_list("amount_minor", flat=True)
    )
    credited = trial.promise.credit_entries.values_list("amount_minor", flat=True)
    kept = trial.promise.deductions.values_list("amount_minor", flat=True)
    assert sorted(map(in_pence, rows)) == sorted([*moved, *(-each for each in (*credited, *kept))])
    assert sum(map(in_pence, rows)) == in_pence(total) == 0 and total.strong
    assert (fee.label, in_pence(fee)) == ("For delivery", 9_500)


def test_each_deduction_stands_on_a_line_of_its_own_with_how_it_was_agreed(desk, seller):
    trial, on = make.make_running_trial(pay_now_minor=100_000), make.A_DAY
    lines = [
        ("damage", "A castor broken", 4_000, "signed"),
        ("missing", "The key of the fall", 1_250, "written"),
    ]
    struck = agree_deduction(trial=trial, line=Agreed("other", "Scuffs", 900, "spoken", on), by=seller, on=on)
    for line in lines:
        agree_deduction(trial=trial, line=Agreed(*line, on), by=seller, on=on)
    take_back_deduction(deduction=struck, why="It was there before", by=seller, on=on)
    return_trial(trial=trial, give_back="refund", method="card", by=seller, on=on)
    told = {(line.label, line.amount): line.note for line in settlement_lines(fresh(trial))}
    agreed = "agreed 21 March 2026"
    assert told["Deducted, damage: A castor broken", "−£40.00"] == f"{agreed}, signed on the condition sheet"
    assert told["Deducted, something missing: The key of the fall", "−£12.50"].startswith(
        f"{agreed}, in a letter"
    )
    assert not any("Scuffs" in label for label, _ in told)
    text = Reading(paper(desk, fresh(trial), "trial_settlement")).text
    for words in (
        "A castor broken",
        "−£12.50",
        "Given back on 21 March 2026",
        "−£947.50",
        "Kept by us £52.50",
    ):
        assert words in text, text


def test_what_the_terms_do_not_count_and_fees_that_count_are_lines_too(seller):
    rule = CreditRule(scale=((0, 80),), fees_that_count=("delivery",), expires_after_months=6)
    trial = make.make_running_trial(pay_now_minor=100_000, delivery_minor=10_000, credit=rule)
    other = make.make_instrument()
    exchange_trial(trial=trial, other=other, other_price_minor=50_000, by=seller, on=make.A_DAY)
    assert [(line.label, line.amount) for line in settlement_lines(fresh(trial))] == [
        ("Paid on 21 March 2026", "£1,000.00"),
        ("Fees that count, on 21 March 2026", "£80.00"),
        (f"Does not count: 80 % counts by the terms of {trial.number}", "−£200.00"),
        ("Into credit on 21 March 2026", "−£880.00"),
        ("Left over", "£0.00"),
        ("For delivery", "£100.00"),
        ("For delivery", "−£80.00"),
    ]


def test_exchanged_for_another_trial_it_names_that_one_and_not_its_draft(seller):
    first, on = make.make_running_trial(pay_now_minor=100_000), make.A_DAY
    follows = {
        "person": first.person,
        "exchanged_from": first,
        "price_minor": 240_000,
        "pay_now_minor": 150_000,
    }
    second = make.make_trial(instrument=make.make_instrument(maker="Castlemere"), **follows)
    start_trial(trial=second, method="card", by=seller, on=on)
    slip, _ = slip_of(fresh(first), "trial_settlement")
    assert slip.sentence.endswith(f"exchanged for home trial {second.number}.")
    facts = {fact.label: fact.value for fact in slip.parts[-1].facts}
    assert facts["Home trial"] == f"{second.number}, Castlemere {second.instrument.stock_number}"
    assert (facts["Its price"], facts["Paid toward it"]) == ("£2,400.00", "£1,500.00")
    assert (facts["Still to pay, if kept"], facts["In credit with us"]) == ("£900.00", "£0.00")
    return_trial(trial=fresh(second), give_back="refund", method="card", by=seller, on=on)
    facts = {fact.label: fact for fact in slip_of(fresh(first), "trial_settlement")[0].parts[-1].facts}
    assert facts["It ended"].basis == "Returned" and "Paid toward it" not in facts
    brought = [(line.label, line.amount) for line in settlement_lines(fresh(second))]
    assert brought[:2] == [
        ("Paid on 21 March 2026", "£500.00"),
        ("Out of credit on 21 March 2026", "£1,000.00"),
    ]


def test_credit_paid_out_and_money_given_back_later_are_told_apart(seller):
    trial, on = make.make_running_trial(pay_now_minor=100_000), make.A_DAY
    line = Agreed("damage", "A scratch", 4_000, "signed", on)
    return_trial(trial=trial, deduction=line, give_back="credit", by=seller, on=on)
    pay_out_credit(person=trial.person, amount_minor=30_000, method="card", by=seller, on=on)
    given = {"amount_minor": 1_500, "method": "cash", "reason": "It was there before"}
    give_back_later(promise=trial.promise, by=seller, on=on, **given)
    rows = [(line.label, line.amount) for line in settlement_lines(fresh(trial))]
    assert rows[1:] == [
        ("Deducted, damage: A scratch", "−£40.00"),
        ("Into credit on 21 March 2026", "−£960.00"),
        ("Kept no longer, on 21 March 2026", "£15.00"),
        ("Given back on 21 March 2026", "−£15.00"),
        ("Left over", "£0.00"),
    ]
    facts = {fact.label: fact.value for fact in slip_of(fresh(trial), "trial_settlement")[0].parts[-1].facts}
    wanted = {"Kept by us": "£25.00", "Paid out of credit": "£300.00", "In credit with us": "£660.00"}
    assert facts == wanted


def test_the_settlement_of_credit_that_ran_out_says_when_how_much_and_how_they_were_told(desk, owner):
    trial = make.make_running_trial(pay_now_minor=100_000, credit=CreditRule(expires_after_months=6))
    return_trial(trial=trial, give_back="credit", by=owner, on=make.A_DAY)
    expire_credit(person=trial.person, told="Our letter of 3 August", by=owner, on=date(2026, 10, 7))
    said = " ".join(Reading(paper(desk, fresh(trial), "trial_settlement")).text.split())
    assert "Into credit on 21 March 2026 to be used until 21 September 2026 −£1,000.00" in said
    assert "Left over all of it stands in the lines above £0.00" in said
    told = "on 7 October 2026; told: Our letter of 3 August, last day 21 September 2026"
    assert f"Credit run out £1,000.00 {told} In credit with us £0.00" in said


def test_a_settlement_whose_figures_moved_on_is_printed_anew_and_the_first_stays(desk, seller):
    trial = make.make_running_trial(pay_now_minor=100_000)
    sale = keep_trial(trial=trial, by=seller, on=make.A_DAY)
    first = paper(desk, fresh(trial), "trial_settlement")
    assert paper(desk, fresh(trial), "trial_settlement") == first
    take_payment(promise=sale.promise, amount_minor=80_000, method="card", by=seller, on=make.A_DAY)
    again = paper(desk, fresh(trial), "trial_settlement")
    assert again != first
    assert "Still to pay on it £0.00" in " ".join(Reading(again).text.split())
    assert Paper.objects.filter(kind="trial_settlement").count() == 2


def sign(desk, trial, kind="trial_delivery", **changes):
    address = reverse("shop:trial_paper_sign", args=[trial.number, kind])
    page = desk.get(address).content.decode()
    typed = {"way": "screen", "customer_name": "Nell", "customer_drawing": DRAWN, "shop_drawing": DRAWN}
    typed |= {"content_hash": page.split('name="content_hash" value="')[1][:64], "form_token": uuid4().hex}
    return desk.post(address, typed | changes)


def test_signed_on_a_screen_the_same_words_carry_both_signatures(desk, seller):
    trial = make.make_delivered_trial()
    unsigned = paper(desk, trial, "trial_delivery")
    assert sign(desk, trial).status_code == 302
    signed = paper(desk, trial, "trial_delivery")
    assert signed != unsigned
    text = Reading(signed).text
    assert "Nell" in text
    assert "Selma Quick" in text
    first, second = Paper.objects.order_by("id")
    hashes = set(PaperSignature.objects.values_list("content_hash", flat=True))
    assert hashes == {first.facts["content_hash"]} == {second.facts["content_hash"]}
    assert content_hash(slip_words(second)) == second.facts["content_hash"]
    assert "Signed: Nell, on this screen" in desk.get(trial.get_absolute_url()).content.decode()
    assert "It has been signed already" in sign(desk, trial).content.decode()
    assert PaperSignature.objects.count() == 2


def test_signed_in_ink_a_picture_lies_beside_it(desk):
    trial = make.make_delivered_trial()
    ink = {"way": "paper", "customer_drawing": "", "shop_drawing": ""}
    page = sign(desk, trial, **ink).content.decode()
    assert "Choose the picture of the signed page." in page
    picture = SimpleUploadedFile("page.jpg", jpeg(400, 300))
    day = timezone.localdate().isoformat()
    assert sign(desk, trial, **ink, file=picture, signed_on=day).status_code == 302
    assert PaperSignature.objects.get().document.title == f"Signed delivery note of a trial {trial.number}-D1"
    assert "the signed page" in desk.get(trial.get_absolute_url()).content.decode()


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"content_hash": "0" * 64}, "changed after this page was opened, so nothing was signed"),
        ({"customer_drawing": ""}, "Nothing has been drawn"),
        ({"customer_name": ""}, "This field is required."),
    ],
)
def test_half_signed_is_not_signed(desk, changes, sentence):
    trial = make.make_delivered_trial()
    page = sign(desk, trial, **changes).content.decode()
    assert sentence in page or "customer_name" in changes
    assert not PaperSignature.objects.exists()


@pytest.mark.parametrize("text", HOSTILE_TEXTS[:12])
def test_hostile_words_are_printed_as_words(seller, text):
    text = text.replace("\x00", "")
    trial = lived(seller, name=text[:100] or "x", maker=text[:60] or "x", note=text[:280] or "x")
    for kind in KINDS:
        slip, _ = slip_of(trial, kind)
        assert slip_from(plain_slip(slip)) == slip
        assert build_trial_slip(slip).startswith(b"%PDF-")
