"""A private seller's link: upload only, and whatever is wrong with it, nothing leaks and nothing is lost."""

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.actions import photo_links
from shop.actions.leads import decide_lead
from shop.actions.photo_links import close_link, make_link, open_link, received_by
from shop.models import LeadPhoto, LinkSending, PhotoLink
from tests import make
from tests.pictures import broken_upload, picture_bytes, upload

pytestmark = pytest.mark.django_db

SECRET = "Canary Seller"


@pytest.fixture
def link(owner):
    lead = make.make_lead(caller=SECRET, maker="Canary & Sons", place="Canary House", asking_minor=123_456)
    return make_link(lead=lead, by=owner, on=timezone.localdate())


def send(link_or_address, *files, client=None):
    address = getattr(link_or_address, "get_absolute_url", lambda: link_or_address)()
    return (client or Client()).post(address, {"photos": list(files)}, follow=True)


def test_the_page_tells_what_to_photograph_and_nothing_of_the_lead(client, link):
    answer = client.get(link.get_absolute_url())
    page = answer.content.decode()
    assert "serial number" in page and "Nothing received yet" in page
    assert not any(
        word in page for word in (SECRET, "Canary & Sons", "Canary House", "1,234.56", link.lead.number)
    )
    assert answer["Cache-Control"] == "no-store" and answer["X-Robots-Tag"] == "noindex"
    assert client.head(link.get_absolute_url()).status_code == 200


def test_what_is_sent_is_kept_with_the_lead_and_only_counted_on_the_page(link):
    page = send(link, upload("serial.jpg"), upload("front.png", colour="navy", kind="PNG")).content.decode()
    assert "2 photographs received: serial.jpg, front.png" in page and "2 photographs received so far" in page
    assert set(link.lead.photos.values_list("link", flat=True)) == {link.pk}
    stranger = Client().get(link.get_absolute_url()).content.decode()
    assert "2 photographs received" in stranger and "serial.jpg" not in stranger and "<img" not in stranger


def test_the_pictures_made_of_them_carry_no_hidden_data(link):
    from io import BytesIO

    from PIL import Image

    target = BytesIO()
    notes = Image.Exif()
    notes[0x010F] = "Canary Camera"
    notes.get_ifd(0x8825)[1] = "N"
    Image.new("RGB", (40, 30), "teal").save(target, "JPEG", exif=notes)
    send(link, SimpleUploadedFile("home.jpg", target.getvalue(), "image/jpeg"))
    photo = LeadPhoto.objects.get()
    for part in ("thumb", "page", "print"):
        with getattr(photo, part).open("rb") as kept:
            assert b"Canary Camera" not in kept.read()


def closed_addresses(link, owner) -> dict[str, str]:
    """Every way in which an address does not open, each from a link of its own."""
    today = timezone.localdate()
    expired = make_link(lead=make.make_lead(), by=owner, on=today - timedelta(days=40))
    revoked = close_link(link=make_link(lead=make.make_lead(), by=owner, on=today), by=owner)
    decided = make_link(lead=make.make_lead(), by=owner, on=today)
    decide_lead(lead=decided.lead, state="declined", reason="Plank split", by=owner, on=today)
    token = link.token
    return {
        "guessed": reverse("photo_send", args=["0" * 64]),
        "copied short": reverse("photo_send", args=[token[:-1]]),
        "its hash": reverse("photo_send", args=[link.token_sha256]),
        "its seed": reverse("photo_send", args=[link.seed]),
        "run out": expired.get_absolute_url(),
        "closed": revoked.get_absolute_url(),
        "decided": decided.get_absolute_url(),
        "odd": "/send/%00%F0%9F%8E%B9/",
    }


def test_unknown_run_out_and_closed_all_get_the_same_friendly_answer(client, link, owner):
    addresses = closed_addresses(link, owner)
    answers = {name: client.get(address) for name, address in addresses.items() if name != "odd"}
    assert {answer.status_code for answer in answers.values()} == {404}
    assert len({answer.content for answer in answers.values()}) == 1
    assert "This link is not open" in answers["closed"].content.decode()
    assert client.get(addresses["odd"]).status_code == 404
    before = LeadPhoto.objects.count()
    assert {send(address, upload()).status_code for address in addresses.values()} == {404}
    assert LeadPhoto.objects.count() == before and not LinkSending.objects.exists()


def test_a_new_link_closes_the_one_before_and_loses_nothing(link, owner):
    send(link, upload())
    second = make_link(lead=link.lead, by=owner, on=timezone.localdate())
    assert send(link, upload("later.jpg", colour="navy")).status_code == 404
    assert link.lead.photos.count() == 1 and open_link(second.token, on=timezone.localdate()) == second
    assert received_by(second) == 0  # another sender learns nothing of what came before


def test_wrong_files_are_named_and_the_good_ones_kept(link):
    files = (
        upload("good.jpg"),
        broken_upload("half.jpg"),
        SimpleUploadedFile(
            "run.svg", b"<svg xmlns='http://www.w3.org/2000/svg'><script/></svg>", "image/svg+xml"
        ),
        SimpleUploadedFile("page.jpg", b"<html><script>alert(1)</script></html>", "image/jpeg"),
        SimpleUploadedFile("empty.jpg", b"", "image/jpeg"),
    )
    page = send(link, *files).content.decode()
    assert "1 photograph received: good.jpg" in page
    assert all(name in page for name in ("half.jpg", "run.svg", "page.jpg"))
    assert link.lead.photos.count() == 1 and "<script>alert" not in page


def test_nothing_good_in_it_is_told_and_counts_as_a_try(link):
    page = send(link, broken_upload()).content.decode()
    assert "broken.jpg" in page and not LeadPhoto.objects.exists()
    assert LinkSending.objects.get().refused == 1


def test_the_same_picture_sent_twice_is_kept_once(link):
    send(link, upload("a.jpg"))
    send(link, upload("b.jpg"))
    assert link.lead.photos.count() == 1 and received_by(link) == 1


def test_more_than_the_link_takes_is_refused_whole_and_says_so(link):
    PhotoLink.objects.filter(pk=link.pk).update(most_files=2)
    send(link, upload("1.jpg"))
    page = send(link, upload("2.jpg", colour="navy"), upload("3.jpg", colour="teal")).content.decode()
    assert "more than this link takes" in page and link.lead.photos.count() == 1
    send(link, upload("2.jpg", colour="navy"))
    assert "That is all this page takes" in Client().get(link.get_absolute_url()).content.decode()


def test_more_bytes_than_the_link_takes_are_refused(link):
    PhotoLink.objects.filter(pk=link.pk).update(most_bytes=10)
    assert "more than this link takes" in send(link, upload()).content.decode()
    assert not LeadPhoto.objects.exists()


def test_one_file_too_large_spoils_only_itself(link, monkeypatch):
    monkeypatch.setattr("instruments.photos.LARGEST_BYTES", 2000)
    large = SimpleUploadedFile("large.jpg", picture_bytes() + b"\0" * 3000, "image/jpeg")
    page = send(link, large, upload("small.jpg", colour="navy")).content.decode()
    assert "large.jpg" in page and "small.jpg" in page and link.lead.photos.count() == 1


def test_a_body_larger_than_the_address_may_bring_is_refused_unread(client, link):
    """The limit of a stranger holds where the address opens nothing; an open one may bring its files."""
    large = picture_bytes() + b"\0" * 2 * 1024 * 1024
    nowhere = reverse("photo_send", args=["0" * 64])
    assert send(nowhere, SimpleUploadedFile("a.jpg", large)).status_code == 413
    assert "1 photograph received" in send(link, SimpleUploadedFile("a.jpg", large)).content.decode()
    far_too_much = {"CONTENT_LENGTH": str(300 * 1024 * 1024)}
    assert client.post(link.get_absolute_url(), {}, **far_too_much).status_code == 413


def test_very_often_in_a_short_time_has_to_wait_and_loses_nothing(link, monkeypatch):
    monkeypatch.setattr(photo_links, "AT_ONCE", 2)
    send(link, upload("1.jpg"))
    send(link, upload("2.jpg", colour="navy"))
    answer = send(link, upload("3.jpg", colour="teal"))
    assert answer.status_code == 429 and "Nothing is lost" in answer.content.decode()
    assert link.lead.photos.count() == 2


def test_a_post_from_elsewhere_is_refused(link):
    strict = Client(enforce_csrf_checks=True)
    assert send(link, upload(), client=strict).status_code == 403 and not LeadPhoto.objects.exists()


def test_the_table_holds_no_address(link):
    columns = [str(getattr(link, field.attname)) for field in PhotoLink._meta.concrete_fields]
    assert link.token not in columns and len(link.token) * 4 >= 128
    assert link.token not in str(list(PhotoLink.history.values()))


def test_a_file_is_no_page_and_no_stranger_gets_at_it(client, link):
    send(link, upload())
    photo = LeadPhoto.objects.get()
    answer = client.get(reverse("shop:lead_photo", args=[link.lead.number, photo.pk, "thumb"]))
    assert answer.status_code == 302 and answer.url.startswith(reverse("login"))


def test_the_shop_makes_copies_and_closes_a_link(client, buyer):
    client.force_login(buyer)
    lead = make.make_lead()
    page = client.post(
        reverse("shop:link_make", args=[lead.number]), {"days": 7, "form_token": uuid4().hex}, follow=True
    ).content.decode()
    link = PhotoLink.objects.get()
    assert link.get_absolute_url() in page and link.expires_on == date.today() + timedelta(days=7)
    page = client.post(reverse("shop:link_close", args=[lead.number, link.pk]), follow=True).content.decode()
    assert link.get_absolute_url() not in page
    client.post(reverse("shop:link_make", args=[lead.number]), {"days": 400, "form_token": uuid4().hex})
    assert PhotoLink.objects.count() == 1
