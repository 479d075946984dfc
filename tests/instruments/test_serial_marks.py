from uuid import uuid4

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from instruments.forms.serial_marks import SerialMarkForm
from instruments.models import SerialMark
from tests import make

pytestmark = pytest.mark.django_db
HEAD = "Maker,Serial number,Year,How exact,Source"


@pytest.fixture
def keeper(client, owner):
    client.force_login(owner)
    return client


def send(client, *lines):
    file = SimpleUploadedFile("marks.csv", "\n".join([HEAD, *lines]).encode(), "text/csv")
    sent = {"file": file, "form_token": uuid4().hex}
    return client.post(reverse("instruments:serial_mark_import"), sent, follow=True)


def add(client, **mark):
    mark = {
        "maker": "Halden & Rook",
        "serial": "31000",
        "year": "1908",
        "exactness": "exact",
        "source": "an invoice",
    } | mark
    return client.post(reverse("instruments:serial_mark_add"), mark | {"form_token": uuid4().hex})


def test_a_mark_is_added_with_its_source(keeper):
    add(keeper)
    assert SerialMark.objects.values_list("serial", "year", "source").get() == (31000, 1908, "an invoice")


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("serial", "B12", "without letters"),
        ("serial", "0", "1 or more"),
        ("year", "1066", "between 1700 and 2100"),
        ("source", "", "is still empty"),
    ],
)
def test_a_mark_that_cannot_be_is_refused(keeper, field, typed, sentence):
    assert sentence in add(keeper, **{field: typed}).content.decode()
    assert not SerialMark.objects.exists()


def test_one_source_gives_a_mark_once(keeper):
    add(keeper)
    assert "on file already" in add(keeper, maker="HALDEN & ROOK").content.decode()


def test_a_change_and_a_removal_say_who(keeper, owner):
    mark = make.make_serial_mark()
    changed = {"maker": mark.maker, "serial": "31000", "year": "1909", "exactness": "about", "source": "x"}
    keeper.post(
        reverse("instruments:serial_mark_edit", args=[mark.pk]), changed | {"form_token": uuid4().hex}
    )
    keeper.post(reverse("instruments:serial_mark_remove", args=[mark.pk]))
    newest, changed, _ = SerialMark.history.all()
    assert (newest.history_user, newest.history_type, changed.year) == (owner, "-", 1909)
    assert not SerialMark.objects.exists()


def test_what_goes_out_comes_in_again(keeper):
    make.make_serial_mark(source="=1+1, a table", exactness="about")
    answer = keeper.get(reverse("instruments:serial_mark_export"))
    table = b"".join(answer.streaming_content)
    SerialMark.objects.all().delete()
    file = SimpleUploadedFile("marks.csv", table, "text/csv")
    keeper.post(reverse("instruments:serial_mark_import"), {"file": file, "form_token": uuid4().hex})
    kept = SerialMark.objects.values_list("maker", "serial", "year", "exactness", "source").get()
    assert kept == ("Halden & Rook", 31_000, 1908, "about", "=1+1, a table")


def test_one_wrong_row_keeps_all_out_and_is_named(keeper):
    page = send(keeper, "Halden & Rook,100,1900,exact,a paper", "Halden & Rook,xx,1900,exact,a paper")
    assert "Row 3, Serial number: A serial number is a figure" in page.content.decode()
    assert not SerialMark.objects.exists()


def test_rows_on_file_already_are_left_as_they_are(keeper):
    lines = ["Halden & Rook,100,1900,exact,a paper", "Halden & Rook,200,1901,,a table"]
    send(keeper, lines[0])
    assert "1 marks added; 1 were on file already." in send(keeper, *lines).content.decode()


def test_a_table_without_its_headings_is_refused(keeper):
    file = SimpleUploadedFile("marks.csv", b"a,b\n1,2\n", "text/csv")
    sent = {"file": file, "form_token": uuid4().hex}
    page = keeper.post(reverse("instruments:serial_mark_import"), sent).content.decode()
    assert "These headings are missing: Maker" in page


def test_the_list_finds_a_maker_however_it_is_spelt(keeper):
    make.make_serial_mark()
    make.make_serial_mark(maker="Thursby & Lund")
    page = keeper.get(reverse("instruments:serial_marks"), {"maker": "halden"}).content.decode()
    assert "Halden &amp; Rook" in page and "Thursby" not in page


@pytest.mark.both
def test_a_nul_in_the_question_finds_marks_instead_of_failing(keeper):
    make.make_serial_mark()
    assert "31000" in keeper.get(reverse("instruments:serial_marks"), {"maker": "Halden\0"}).content.decode()


@pytest.mark.both
def test_a_makers_name_that_folding_makes_longer_is_found_by_its_marks():
    mark = make.make_serial_mark(maker="ß" * 120)
    assert list(SerialMark.objects.around("ß" * 120, 31_000)) == [mark]


def test_a_long_table_leaves_no_mark_out_of_a_dating():
    """The marks are asked on either side of the number, however many the maker has below it."""
    SerialMark.objects.bulk_create(
        SerialMark(
            maker="Halden & Rook",
            maker_folded="halden & rook",
            serial=1000 * place,
            year=1800 + place // 10,
            exactness="table",
            source="a table",
        )
        for place in range(1, 601)
    )
    around = SerialMark.objects.around("Halden & Rook", 595_500)
    assert [mark.serial for mark in around] == [595_000, 596_000]


def test_the_nearest_marks_of_each_exactness_are_asked():
    near = make.make_serial_mark(serial=31_000, exactness="table", source="a table")
    proven = make.make_serial_mark(serial=20_000, year=1904)
    make.make_serial_mark(serial=19_000, year=1903)
    make.make_serial_mark(maker="Brae & Sons", serial=31_400)
    later = make.make_serial_mark(serial=40_000, year=1912, exactness="about", source="told")
    assert list(SerialMark.objects.around("halden & ROOK", 31_447)) == [proven, near, later]


def test_a_longer_table_asks_the_database_no_more_often(keeper, owner):
    """Nobody else can write meanwhile, so the rows go in together, each with its history."""
    counts = []
    for first, rows in ((1, 3), (100, 30)):
        lines = [f"Halden & Rook,{first + row},1900,table,a table" for row in range(rows)]
        with CaptureQueriesContext(connection) as asked:
            send(keeper, *lines)
        counts.append(len(asked))
    assert counts[1] <= counts[0]
    newest = SerialMark.history.latest("pk")
    assert newest.history_user == owner
    assert newest.history_change_reason == "Serial mark added: Halden & Rook 129: 1900"


@pytest.mark.both
def test_a_mark_that_another_added_in_the_same_moment_is_refused_on_the_form(keeper, monkeypatch):
    make.make_serial_mark(source="an invoice")
    monkeypatch.setattr(SerialMarkForm, "clean", lambda form: form.cleaned_data)  # as if it were free still
    answer = add(keeper)
    assert answer.status_code == 200
    assert "saved at the same moment" in answer.content.decode()
    assert SerialMark.objects.count() == 1
