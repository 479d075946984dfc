"""A signed agreement outlives all that changes after it: terms, shop, customer, instrument and price.

Everything is done on the shop's own pages; only the byte is flipped by hand, in the file.
"""

import json
from io import StringIO
from pathlib import Path

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from instruments.models import Document
from shop.actions.terms import load_clauses
from shop.models import AgreementClause, Paper, PaperSignature, ShopProfile, TermsVersion
from tests import make
from tests.drawn import jpeg
from tests.journeys.page_forms import forms_on
from tests.reading import Reading

pytestmark = pytest.mark.django_db
DRAWN = json.dumps([[[100 + 10 * step, 150 + (40 if step % 2 else -40)] for step in range(40)]])
ON_SCREEN = {"way": "screen", "customer_drawing": DRAWN, "shop_drawing": DRAWN}


@pytest.fixture
def desk(client, owner):
    load_clauses()
    client.force_login(owner)
    return client


@pytest.fixture
def trial(desk):
    person = make.make_person(name="Wilf Arden", address="4 Salt Lane\nPenhallow")
    return make.make_trial(person=person, instrument=make.make_instrument(serial="31447"), on=today())


def today():
    return timezone.localdate()


def send(desk, address: str, /, **changes) -> None:
    """Open the page, change on its form what is named, and press the button."""
    page = desk.get(address).content.decode()
    form = next(form for form in forms_on(page, address) if set(changes) <= set(form.names))
    answer = desk.post(form.action, form.standing() | changes)
    assert answer.status_code == 302, answer.content.decode()


def everything_changes(desk, trial) -> None:
    clause, number = AgreementClause.objects.first(), trial.instrument.stock_number
    send(desk, reverse("shop:clause_edit", args=[clause.code]), heading="New heading", text="Other words.")
    send(desk, reverse("shop:terms_page"), note="After the first summer")
    send(desk, reverse("shop:profile_edit"), name="Quillon Pianos", address="1 New Row")
    send(desk, reverse("shop:person_edit", args=[trial.person_id]), name="W. Moss", address="9 Hill View")
    send(desk, reverse("instruments:identity_edit", args=[number]), serial="99999", maker="Somebody Else")
    send(desk, reverse("shop:price_set", args=[number]), amount_minor="2950.00")
    assert (TermsVersion.objects.count(), ShopProfile.current().name) == (2, "Quillon Pianos")
    trial.instrument.refresh_from_db()
    trial.person.refresh_from_db()
    assert (trial.instrument.serial, trial.person.name) == ("99999", "W. Moss")


def verified() -> str:
    """What `manage.py verify` prints."""
    told = StringIO()
    try:
        call_command("verify", stdout=told)
    except CommandError as found:
        assert found.returncode == 1
    return told.getvalue()


def a_flipped_byte_is_found(kept) -> None:
    """In the middle and at both ends; put back, all is as it was."""
    file, place = Path(kept.path), f"{kept.instance._meta.label_lower} {kept.instance.pk}, {kept.name}"
    content = file.read_bytes()
    for at in (0, len(content) // 2, len(content) - 1):
        changed = bytearray(content)
        changed[at] ^= 1
        file.write_bytes(changed)
        assert verified() == f"{place}: the file is not the one that was kept.\n"
    file.write_bytes(content)
    assert verified().startswith("All as it was written.")


def test_agreement_signed_on_a_screen_stays_byte_for_byte(desk, trial):
    send(desk, reverse("shop:trial_start", args=[trial.number]), method="card", **ON_SCREEN)
    paper, address = Paper.objects.get(), reverse("shop:trial_agreement", args=[trial.number])
    first, stored = desk.get(address).content, Path(paper.file.path).read_bytes()
    assert first == stored and "31447" in Reading(first).text
    everything_changes(desk, trial)
    assert desk.get(address).content == Path(paper.file.path).read_bytes() == first
    assert {each.content_hash for each in PaperSignature.objects.all()} == {paper.facts["content_hash"]}
    page = desk.get(trial.get_absolute_url()).content.decode()
    assert f'SHA-256 <span class="serial break">{paper.sha256}</span>' in page
    assert "The customer: Wilf Arden, on this screen" in page
    assert "1 New Row" not in Reading(first).text
    a_flipped_byte_is_found(paper.file)


def test_picture_of_the_ink_stays_byte_for_byte(desk, trial):
    send(desk, reverse("shop:trial_start", args=[trial.number]), method="card", way="paper")
    page = SimpleUploadedFile("page.jpg", jpeg(400, 300), content_type="image/jpeg")
    signed = {"file": page, "customer_name": "Wilf Arden", "signed_on": today().isoformat()}
    send(desk, reverse("shop:trial_signed_paper", args=[trial.number]), **signed)
    document = Document.objects.get()
    address = reverse("instruments:document_file", args=[trial.instrument.stock_number, document.pk])
    first = b"".join(desk.get(address).streaming_content)
    everything_changes(desk, trial)
    assert b"".join(desk.get(address).streaming_content) == Path(document.file.path).read_bytes() == first
    assert address in desk.get(trial.get_absolute_url()).content.decode()
    a_flipped_byte_is_found(document.file)
    a_flipped_byte_is_found(Paper.objects.get().file)
