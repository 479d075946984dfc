import hashlib
from uuid import uuid4

import pytest
from django.core.files.storage import default_storage
from django.urls import reverse

from instruments.models import ChainLink, Document
from tests import make
from tests.instruments.chains import breaks_of
from tests.pictures import broken_upload, picture_bytes, upload
from tests.scans import pdf_bytes, pdf_upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    return client


def send(client, instrument, file, **said):
    said = {"title": "An invoice", "seen_by": "staff", "file": file, "form_token": uuid4().hex} | said
    return client.post(reverse("instruments:documents", args=[instrument.stock_number]), said)


def file_of(document) -> str:
    return reverse("instruments:document_file", args=[document.instrument.stock_number, document.pk])


def test_a_pdf_is_kept_byte_for_byte_with_its_hash(signed_in):
    send(signed_in, make.make_instrument(), pdf_upload())
    document = Document.objects.get()
    assert document.file.read() == pdf_bytes()
    assert document.sha256 == hashlib.sha256(pdf_bytes()).hexdigest()


def test_a_picture_is_kept_byte_for_byte_too(signed_in):
    send(signed_in, make.make_instrument(), upload("card.jpg"))
    document = Document.objects.get()
    assert (document.file.read(), document.media_type) == (picture_bytes(), "image/jpeg")


def test_the_page_says_what_a_document_bears_on(signed_in):
    statement = make.make_statement(text="One family from new")
    document = make.make_document(instrument=statement.instrument)
    address = reverse("instruments:documents", args=[statement.instrument.stock_number])
    assert "It bears on no statement yet." in signed_in.get(address).content.decode()
    make.make_evidence(statement=statement, document=document, side="against")
    page = signed_in.get(address).content.decode()
    assert "Against it: <a" in page and "“One family from new”" in page


def test_a_document_is_linked_into_the_chain(signed_in):
    instrument = make.make_instrument()
    send(signed_in, instrument, pdf_upload())
    assert [link.kind for link in ChainLink.objects.all()] == ["document"]
    assert breaks_of(instrument) == []


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"%PDF-1.4\nhalf a file", "breaks off before its end"),
        (b"%PDF-9.9\nstartxref\n0\n%%EOF", "does not begin like one"),
        (b"<html>startxref\n0\n%%EOF", "is a web page or SVG drawing"),
        (b"MZ\x90\x00 a program", "bad.pdf"),
        (pdf_bytes() + b"<script>" + b"x" * 4000, "breaks off before its end"),
    ],
)
def test_what_is_no_whole_pdf_or_picture_is_refused_by_name(signed_in, content, sentence):
    page = send(signed_in, make.make_instrument(), pdf_upload("bad.pdf", content)).content.decode()
    assert sentence in page and "An invoice" in page
    assert not Document.objects.exists() and not default_storage.exists("documents")


def test_a_broken_picture_is_refused(signed_in):
    page = send(signed_in, make.make_instrument(), broken_upload()).content.decode()
    assert "is damaged or not complete" in page


def test_the_same_file_twice_is_refused_and_leaves_one_file(signed_in):
    instrument = make.make_instrument()
    send(signed_in, instrument, pdf_upload())
    page = send(signed_in, instrument, pdf_upload("again.pdf")).content.decode()
    assert "on file already" in page
    assert len(default_storage.listdir("documents")[1]) == 1


def test_a_file_is_handed_over_only_as_a_download(signed_in):
    send(signed_in, make.make_instrument(), pdf_upload("../../in\x00voice\u202e.pdf"))
    answer = signed_in.get(file_of(Document.objects.get()))
    assert answer["Content-Disposition"].startswith('attachment; filename="invoice')
    assert "sandbox" in answer["Content-Security-Policy"]


def test_a_picture_is_a_download_as_well(signed_in):
    send(signed_in, make.make_instrument(), upload("card.jpg"))
    assert signed_in.get(file_of(Document.objects.get()))["Content-Disposition"].startswith("attachment")


@pytest.mark.parametrize(
    ("role", "status"), [("owner", 200), ("buyer", 200), ("technician", 404), ("seller", 404)]
)
def test_a_private_document_is_not_there_for_others(client, request, role, status):
    document = make.make_document(instrument=make.make_instrument(), title="Her letter", seen_by="owner")
    client.force_login(request.getfixturevalue(role))
    assert client.get(file_of(document)).status_code == status
    page = client.get(reverse("instruments:documents", args=[document.instrument.stock_number]))
    assert ("Her letter" in page.content.decode()) == (status == 200)


def test_nobody_hides_a_document_from_their_own_eyes(signed_in):
    page = send(signed_in, make.make_instrument(), pdf_upload(), seen_by="owner").content.decode()
    assert "that is not among the choices" in page and not Document.objects.exists()
