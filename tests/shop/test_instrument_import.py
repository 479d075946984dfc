import csv
from io import BytesIO, StringIO

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from openpyxl import Workbook

from instruments.models import Instrument
from shop.actions.intake import log_many
from shop.models import Person
from tests.make import A_DAY, make_instrument, make_person

pytestmark = pytest.mark.django_db
HEADINGS = ["kind", "maker", "keys", "made", "height cm", "seller", "price paid", "history"]
GOOD = ["upright", "Halden & Rook", "85", "about 1912", "122", "Wilf Arden", "250", "One family from new"]


@pytest.fixture
def signed_in(client, buyer):
    client.force_login(buyer)
    return client


def csv_file(rows, headings=HEADINGS, separator=",") -> SimpleUploadedFile:
    target = StringIO()
    csv.writer(target, delimiter=separator).writerows([headings, *rows])
    return SimpleUploadedFile("stock.csv", target.getvalue().encode(), "text/csv")


def send(client, file):
    return client.post(reverse("shop:instrument_import"), {"file": file})


def preview(client, file):
    answer = send(client, file)
    return answer.url, client.get(answer.url).content.decode()


def confirm(client, address: str):
    token = address.rstrip("/").rsplit("/", 1)[1]
    return client.post(f"{address}confirm/", {"form_token": token})


def test_looking_saves_nothing(signed_in):
    _, page = preview(signed_in, csv_file([GOOD]))
    assert "Every row is in order. Nothing has been saved yet." in page
    assert not Instrument.objects.exists() and not Person.objects.exists()


def test_confirming_logs_every_row_with_all_it_says(signed_in):
    address, _ = preview(signed_in, csv_file([GOOD, [*GOOD[:1], "Orrin Vale", *GOOD[2:]]]))
    assert confirm(signed_in, address).url == reverse("stock")
    first = Instrument.objects.earliest("id")
    assert (first.made, first.key_count, first.height_cm) == ("1912~", 85, 122)
    assert (first.purchases.get().price_minor, first.statements.get().told_by) == (25_000, "Wilf Arden")
    assert [one.stock_number[2:] for one in Instrument.objects.order_by("id")] == ["-001", "-002"]


def test_a_seller_named_twice_is_one_person(signed_in):
    address, _ = preview(signed_in, csv_file([GOOD, GOOD]))
    confirm(signed_in, address)
    assert (Instrument.objects.count(), Person.objects.count()) == (2, 1)


def test_a_seller_on_file_is_the_person_on_file(signed_in):
    wilf = make_person(name="Wilf Arden")
    address, _ = preview(signed_in, csv_file([GOOD]))
    confirm(signed_in, address)
    assert Instrument.objects.get().purchases.get().seller == wilf


def test_two_people_of_one_name_cannot_be_told_apart(signed_in):
    make_person(name="Wilf Arden"), make_person(name="Wilf Arden")
    assert "We know two of that name." in preview(signed_in, csv_file([GOOD]))[1]


BAD = {
    3: ["harmonium", *GOOD[1:]],
    8: ["upright", "", *GOOD[2:]],
    12: [*GOOD[:2], "12", *GOOD[3:]],
    17: [*GOOD[:3], "5/7/1912", *GOOD[4:]],
    20: [*GOOD[:4], "1.22", *GOOD[5:]],
    24: [*GOOD[:6], "two hundred", *GOOD[7:]],
}


def twenty_five_rows() -> list[list[str]]:
    """Rows 2 to 26 of the file, six of them wrong."""
    return [BAD.get(number, GOOD) for number in range(2, 27)]


def test_each_wrong_cell_says_why_and_nothing_is_saved(signed_in):
    _, page = preview(signed_in, csv_file(twenty_five_rows()))
    assert "6 need mending. Nothing has been saved." in page
    for number in BAD:
        assert f'<a href="#row-{number}">Row {number}</a>' in page
    for sentence in (
        "“harmonium” is not one of: Upright, Grand, Square.",
        "is still empty",
        "Which is its lowest key?",
        "1.22 is not a measure of a piano in centimetres",
        "“two hundred” is not an amount",
    ):
        assert sentence in page
    assert page.count('<td class="wrong">') == 6


def test_a_file_with_one_wrong_row_cannot_be_confirmed(signed_in):
    address, _ = preview(signed_in, csv_file(twenty_five_rows()))
    confirm(signed_in, address)
    assert not Instrument.objects.exists()


def test_all_twenty_five_come_in_when_all_are_right(signed_in):
    address, _ = preview(signed_in, csv_file([GOOD] * 25))
    confirm(signed_in, address)
    assert Instrument.objects.count() == 25


def test_a_failure_in_the_last_row_takes_the_others_back(buyer):
    good = {"identity": {"kind": "upright", "maker": "Castlemere"}, "new_seller": "Wilf Arden"}
    wrong = {"identity": {"kind": "upright", "maker": "Castlemere", "made": "nonsense"}}
    with pytest.raises(ValueError, match="not a date"):
        log_many(records=[good, good, wrong], by=buyer, on=A_DAY)
    assert not Instrument.objects.exists() and not Person.objects.exists()


def test_confirming_twice_logs_once(signed_in):
    address, _ = preview(signed_in, csv_file([GOOD]))
    assert [confirm(signed_in, address).status_code for _ in range(2)] == [302, 302]
    assert Instrument.objects.count() == 1


def test_the_same_file_cannot_come_in_again(signed_in):
    address, _ = preview(signed_in, csv_file([GOOD]))
    confirm(signed_in, address)
    page = signed_in.post(reverse("shop:instrument_import"), {"file": csv_file([GOOD])}, follow=True)
    assert "taken in before" in page.content.decode() and Instrument.objects.count() == 1


def test_the_file_is_put_away_once_it_has_come_in(signed_in, django_capture_on_commit_callbacks):
    address, _ = preview(signed_in, csv_file([GOOD]))
    with django_capture_on_commit_callbacks(execute=True):
        confirm(signed_in, address)
    assert default_storage.listdir("imports")[1] == []


def test_nobody_looks_into_another_persons_file(signed_in, client, owner):
    address, _ = preview(signed_in, csv_file([GOOD]))
    client.force_login(owner)
    assert client.get(address).status_code == 404


@pytest.mark.parametrize("token", ["0" * 32, "..", "x%2F..%2F..%2Fsecret_key"])
def test_a_token_that_is_none_of_ours_leads_nowhere(signed_in, token):
    assert signed_in.get(f"/stock/import/{token}/").status_code == 404


def test_a_workbook_comes_in_like_a_csv_file(signed_in):
    book, target = Workbook(), BytesIO()
    for row in (["Kind", "MAKER", "keys", "Height_cm"], ["Upright", "Halden & Rook", 88, 122.5]):
        book.active.append(row)
    book.save(target)
    address, page = preview(signed_in, SimpleUploadedFile("stock.xlsx", target.getvalue()))
    assert "an XLSX workbook, its first sheet" in page
    confirm(signed_in, address)
    assert str(Instrument.objects.get().height_cm) == "122.5"


def test_semicolons_and_labels_in_any_case_are_understood(signed_in):
    rows = [["UPRIGHT", "Castlemere", "85", "straight-strung", "Not settled"]]
    headings = ["Kind", "Maker", "Keys", "Stringing", "Naturals"]
    address, _ = preview(signed_in, csv_file(rows, headings, separator=";"))
    confirm(signed_in, address)
    assert (Instrument.objects.get().stringing, Instrument.objects.get().natural_covering) == (
        "straight",
        "unknown",
    )


@pytest.mark.parametrize(
    ("headings", "sentence"),
    [
        (["kind", "keys"], "has no heading “maker”"),
        (["kind", "maker", "keys", "maker"], "The heading “maker” stands twice"),
    ],
)
def test_headings_that_cannot_work_are_refused_on_the_spot(signed_in, headings, sentence):
    answer = send(signed_in, csv_file([["upright"] * len(headings)], headings))
    assert sentence in answer.content.decode()


def test_columns_nobody_knows_are_passed_over_and_named(signed_in):
    _, page = preview(signed_in, csv_file([[*GOOD, "teal"]], [*HEADINGS, "Colour of the van"]))
    assert "Not read: Colour of the van." in page


def test_stock_that_may_be_here_already_is_pointed_out(signed_in):
    here = make_instrument(maker="Halden & Rook", serial="31447")
    row = ["upright", "Halden & Rook", "85", "31447"]
    _, page = preview(signed_in, csv_file([row], ["kind", "maker", "keys", "serial"]))
    assert f"Row 2 has the maker and serial number of {here.stock_number}." in page


def test_the_empty_table_has_every_heading_the_import_reads(signed_in):
    table = signed_in.get(reverse("shop:import_template")).getvalue().decode("utf-8-sig")
    assert next(csv.reader(StringIO(table)))[:4] == ["kind", "maker", "keys", "lowest key"]


def test_the_empty_table_filled_in_is_understood(signed_in):
    table = signed_in.get(reverse("shop:import_template")).getvalue().decode("utf-8-sig")
    row = ["grand", "Castlemere", "88"]
    _, page = preview(signed_in, csv_file([row], next(csv.reader(StringIO(table)))))
    assert "Every row is in order." in page and "Not read" not in page


def test_looking_at_a_file_asks_the_database_no_more_for_more_rows(signed_in):
    counts = []
    for size in (1, 25):
        address = send(signed_in, csv_file([GOOD] * size)).url
        with CaptureQueriesContext(connection) as queries:
            signed_in.get(address)
        counts.append(len(queries))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("content", [b"", b"\x00\x01\x02", b"PK\x03\x04junk"])
def test_a_file_that_is_no_table_is_refused_with_a_sentence(signed_in, content):
    answer = send(signed_in, SimpleUploadedFile("stock.csv", content))
    assert answer.status_code == 200 and 'class="error"' in answer.content.decode()


def test_a_technician_does_not_import(client, technician):
    client.force_login(technician)
    assert send(client, csv_file([GOOD])).status_code == 403
