"""An agreement signed on a screen or in ink: what was read is what is signed, and it stays as it was."""

import json
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import DatabaseError, transaction
from django.urls import reverse
from django.utils import timezone

from instruments.actions.findings import record_finding
from shop.actions.agreements import agreement_words
from shop.calc.signature import LEAST_EXTENT, MOST_POINTS, read_drawing
from shop.models import Paper, PaperSignature, Trial
from shop.verification import Verification
from tests import make
from tests.drawn import jpeg
from tests.journeys.conftest import log_in
from tests.reading import Reading

LOOP = [[[100 + 10 * step, 150 + (40 if step % 2 else -40)] for step in range(40)], [[700, 60], [720, 240]]]
DRAWN = json.dumps(LOOP)


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def a_trial() -> Trial:
    return make.make_trial(on=timezone.localdate())


def start_page(desk, trial) -> str:
    return desk.get(reverse("shop:trial_start", args=[trial.number])).content.decode()


def hash_on(page: str) -> str:
    return page.split('name="content_hash" value="')[1][:64]


def sign(desk, trial, **changes):
    typed = {
        "method": "card",
        "way": "screen",
        "customer_name": "Wilf Arden",
        "customer_drawing": DRAWN,
        "shop_drawing": DRAWN,
        "content_hash": changes.get("content_hash") or hash_on(start_page(desk, trial)),
        "form_token": uuid4().hex,
    }
    return desk.post(reverse("shop:trial_start", args=[trial.number]), typed | changes)


def test_drawing_is_read_as_it_was_sent():
    assert read_drawing(DRAWN).plain == LOOP


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Nothing has been drawn"),
        ("[]", "Nothing has been drawn"),
        ("[[]]", "Nothing has been drawn"),
        ("[[[5, 5]]]", "a dot or a short stroke"),
        (json.dumps([[[x, 10] for x in range(LEAST_EXTENT)]]), "a dot or a short stroke"),
        ("{}", "Nothing has been drawn"),
        ("not json", "did not arrive whole"),
        ("[[[1, 2, 3]]]", "did not arrive whole"),
        ("[[[1.5, 2]]]", "did not arrive whole"),
        ("[[[true, 2]]]", "did not arrive whole"),
        ("[[[1001, 2]]]", "did not arrive whole"),
        ("7", "did not arrive whole"),
        ("[" * 5000, "did not arrive whole"),
        (json.dumps([[[x % 1000, 10] for x in range(MOST_POINTS + 1)]]), "did not arrive whole"),
    ],
)
def test_drawing_that_is_none_is_refused_in_a_sentence(text, sentence):
    with pytest.raises(ValueError, match=sentence):
        read_drawing(text)


@pytest.mark.django_db
def test_signed_agreement_carries_names_hour_and_the_hash_of_what_was_read(desk):
    trial = a_trial()
    read = hash_on(start_page(desk, trial))
    assert sign(desk, trial).status_code == 302
    paper = Paper.objects.get(trial=trial)
    customer, shop = PaperSignature.objects.order_by("-signer")[1], PaperSignature.objects.get(signer="shop")
    assert {customer.content_hash, shop.content_hash, paper.facts["content_hash"]} == {read}
    assert customer.strokes == LOOP
    with paper.file.open("rb") as kept:
        text = Reading(kept.read()).text
    assert "Wilf Arden" in text
    assert "on a screen" in text
    assert "Selma Quick" in text
    page = desk.get(trial.get_absolute_url()).content.decode()
    assert paper.sha256 in page
    assert "The customer: Wilf Arden, on this screen" in page


@pytest.mark.django_db
def test_later_copies_are_the_same_bytes_whatever_changes_after_and_verify_finds_a_flipped_byte(desk):
    trial = a_trial()
    sign(desk, trial)
    address = reverse("shop:trial_agreement", args=[trial.number])
    first = desk.get(address).content
    instrument = trial.instrument
    instrument.serial = "99999"
    instrument.save()
    assert desk.get(address).content == first
    assert list(Verification().faults()) == []
    paper = Paper.objects.get(trial=trial)
    with paper.file.storage.open(paper.file.name, "rb") as kept:
        content = bytearray(kept.read())
    content[len(content) // 2] ^= 1
    with open(paper.file.path, "wb") as kept:  # noqa: PTH123 - as a fault of the disk would
        kept.write(content)
    assert any("the file is not the one that was kept" in fault for fault in Verification().faults())


@pytest.mark.django_db
def test_words_that_changed_after_they_were_read_are_not_signed(desk, seller):
    trial = a_trial()
    read = hash_on(start_page(desk, trial))
    record_finding(instrument=trial.instrument, part="keys", condition="repair", by=seller, on=make.A_DAY)
    answer = sign(desk, trial, content_hash=read).content.decode()
    assert "changed after this page was opened, so nothing was signed" in answer
    assert Trial.objects.get(pk=trial.pk).state == "draft"
    assert not PaperSignature.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"customer_drawing": ""}, "Nothing has been drawn"),
        ({"shop_drawing": "[[[1,1]]]"}, "a dot or a short stroke"),
        ({"customer_name": ""}, "Give the name of who signs"),
        ({"customer_drawing": "x" * 200_000}, "at most 100,000 characters"),
    ],
)
def test_half_signed_is_not_signed_and_what_was_drawn_stays(desk, changes, sentence):
    trial = a_trial()
    answer = sign(desk, trial, **changes)
    page = answer.content.decode()
    assert sentence in page
    assert Trial.objects.get(pk=trial.pk).state == "draft"
    assert "[[[100" in page or "shop_drawing" not in changes


@pytest.mark.django_db
def test_pressing_twice_signs_once(desk):
    trial = a_trial()
    token = uuid4().hex
    read = hash_on(start_page(desk, trial))
    for _ in range(2):
        assert sign(desk, trial, form_token=token, content_hash=read).status_code == 302
    assert PaperSignature.objects.count() == 2
    assert Paper.objects.count() == 1


@pytest.mark.django_db
def test_ink_on_paper_is_kept_as_a_picture_beside_the_agreement(desk):
    trial = a_trial()
    sign(desk, trial, way="paper", customer_drawing="", shop_drawing="")
    assert not PaperSignature.objects.exists()
    address = reverse("shop:trial_signed_paper", args=[trial.number])
    typed = {
        "customer_name": "Wilf Arden",
        "signed_on": timezone.localdate().isoformat(),
        "form_token": uuid4().hex,
    }
    wrong = desk.post(address, typed | {"file": SimpleUploadedFile("page.jpg", b"not a picture")})
    assert "page.jpg" in wrong.content.decode()
    picture = SimpleUploadedFile("page.jpg", jpeg(400, 300))
    assert desk.post(address, typed | {"file": picture, "form_token": uuid4().hex}).status_code == 302
    signature = PaperSignature.objects.get()
    assert signature.document.title == f"Signed agreement {trial.number}"
    assert "the signed page" in desk.get(trial.get_absolute_url()).content.decode()


@pytest.mark.django_db
def test_a_signature_cannot_be_changed(desk):
    trial = a_trial()
    sign(desk, trial)
    with pytest.raises(DatabaseError), transaction.atomic():
        PaperSignature.objects.update(name="Somebody else")


@pytest.mark.django_db
def test_the_hash_is_that_of_the_words_and_not_of_the_signatures():
    trial = a_trial()
    words = agreement_words(trial, on=make.A_DAY)
    assert words == agreement_words(trial, on=make.A_DAY)


@pytest.mark.django_db(transaction=True)
def test_signing_with_a_finger_in_a_browser(page, client, seller, live_server):
    trial = a_trial()
    log_in(page, client, seller, live_server)
    page.goto(reverse("shop:trial_start", args=[trial.number]))
    page.get_by_label("On this screen").check()
    for name in ("The customer signs here", "The shop signs here"):
        field = page.get_by_role("img", name=name)
        field.scroll_into_view_if_needed()
        box = field.bounding_box()
        page.mouse.move(box["x"] + 20, box["y"] + 40)
        page.mouse.down()
        for step in range(1, 20):
            page.mouse.move(box["x"] + 20 + 8 * step, box["y"] + 40 + (20 if step % 2 else -10))
        page.mouse.up()
    page.get_by_role("button", name="Paid and signed: start").click()
    page.get_by_text("The agreement is signed").first.wait_for()
    assert PaperSignature.objects.filter(way="screen").count() == 2


TYPED = {
    "way": "typed",
    "customer_drawing": "",
    "shop_drawing": "",
    "customer_typed": "wilf  Arden",
    "shop_typed": "Selma Quick",
}


@pytest.mark.django_db
def test_names_typed_under_the_words_sign_them_as_drawn_ones_do(desk):
    trial = a_trial()
    read = hash_on(start_page(desk, trial))
    assert sign(desk, trial, **TYPED).status_code == 302
    paper = Paper.objects.get(trial=trial)
    rows = PaperSignature.objects.all()
    assert {(each.way, each.strokes, each.content_hash) for each in rows} == {("typed", None, read)}
    assert paper.facts["content_hash"] == read
    with paper.file.open("rb") as kept:
        text = Reading(kept.read()).text
    assert text.count("Wilf Arden") >= 2 and text.count("typed on a screen") == 2
    page = desk.get(trial.get_absolute_url()).content.decode()
    assert "The customer: Wilf Arden, by typing the name" in page
    assert list(Verification().faults()) == []


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"customer_typed": ""}, "The customer has not signed. Type the name in full, “Wilf Arden”"),
        ({"customer_typed": "W"}, "The customer has not signed. Type the name in full, “Wilf Arden”"),
        ({"shop_typed": "Wilf Arden"}, "The shop has not signed. Type the name in full, “Selma Quick”"),
        ({"customer_name": ""}, "Give the name of who signs"),
    ],
)
def test_a_name_that_is_not_typed_in_full_signs_nothing_and_stays(desk, changes, sentence):
    trial = a_trial()
    page = sign(desk, trial, **TYPED | changes).content.decode()
    assert sentence in page
    assert Trial.objects.get(pk=trial.pk).state == "draft" and not PaperSignature.objects.exists()
    assert 'value="Selma Quick"' in page or "shop_typed" in changes


@pytest.mark.django_db(transaction=True)
def test_signing_without_a_drawn_line_in_a_browser(page, client, seller, live_server):
    """WCAG 2.2, 2.5.7: nothing has to be dragged, here by the keyboard and single presses alone."""
    trial = a_trial()
    log_in(page, client, seller, live_server)
    page.goto(reverse("shop:trial_start", args=[trial.number]))
    assert not page.get_by_label("types their name to sign").first.is_visible()
    page.get_by_label("By typing the name").check()
    page.get_by_label("The customer types their name to sign").fill("Wilf Arden")
    page.get_by_label("For the shop, Selma Quick types their name to sign").fill("Selma Quick")
    assert page.get_by_role("img", name="The customer signs here").count() == 0
    page.get_by_role("button", name="Paid and signed: start").click()
    page.get_by_text("The agreement is signed").first.wait_for()
    assert PaperSignature.objects.filter(way="typed").count() == 2
