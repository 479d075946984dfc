"""Everything kept about a person in one ZIP: rows, papers and pictures, and nothing of others."""

import io
import json
import zipfile

import pytest
from django.urls import reverse

from shop.actions.person_export import export_of, plural_of
from shop.models import PersonExport
from shop.person_papers import papers_of
from shop.person_rows import ROWS
from tests import make
from tests.make_care import posted
from tests.shop.erased_person import MAIL, NAME, ON, STREET, make_somebody_known
from workorders.currency import plain

pytestmark = pytest.mark.django_db


@pytest.fixture
def known(owner):
    return make_somebody_known(owner)


def unzipped(content: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        return {name: archive.read(name) for name in archive.namelist()}


def test_every_row_of_theirs_is_in_it_over_both_cards(known):
    tables = json.loads(unzipped(export_of(known))["everything.json"])
    for rows in ROWS:
        count, name = rows.of(known).count(), plural_of(rows.model).replace(" ", "-")
        assert len(tables.get(name, [])) == (0 if rows.kept_back else count), name
    assert [card["name"] for card in tables["card"]] == [NAME, f"{NAME} jun."]
    assert tables["card"][0]["email"] == MAIL
    assert {wish["note"] for wish in tables["wanted"]} == {"Canary yellow"}
    assert tables["trials"][0]["address"] == STREET


def test_each_table_is_a_spreadsheet_too(known):
    files = unzipped(export_of(known))
    tables = json.loads(files["everything.json"])
    for name, rows in tables.items():
        lines = files[f"tables/{name}.csv"].decode("utf-8-sig").split("\r\n")
        assert lines[0] == ",".join(f'"{column}"' for column in rows[0])


def test_papers_and_pictures_are_the_same_bytes(known):
    files = unzipped(export_of(known))
    papers = {paper.file.read() for paper in papers_of(known)}
    assert {content for name, content in files.items() if name.startswith("papers/")} == papers
    assert len([name for name in files if name.startswith("photographs/")]) == 2
    assert len([name for name in files if name.startswith("documents/")]) == 1


def test_the_read_me_says_what_is_in_it_and_what_is_not(known):
    words = unzipped(export_of(known))["README.txt"].decode()
    assert f"keeps about {NAME}" in words
    assert "payments: " in words
    assert "Not in it: what we paid others and earn, and what is written about other people." in words


def test_the_read_me_comes_first_and_tells_dealings_in_sums_of_money(known):
    files = unzipped(export_of(known))
    assert next(iter(files)) == "README.txt"
    words = files["README.txt"].decode()
    assert "WHAT WAS BETWEEN US" in words and "£" in words and STREET.split("\n")[0] in words


def test_amounts_are_decimals_with_their_currency_and_nothing_is_a_stroke(known):
    files = unzipped(export_of(known))
    tables = json.loads(files["everything.json"])
    assert {each["amount_GBP"] for each in tables["payments"]} >= {
        plain(each.amount_minor) for each in known.whole("payments")
    }
    assert "_minor" not in files["everything.json"].decode()
    assert all(isinstance(each["strokes"], str) for each in tables.get("paper-signatures", []))
    assert not [name for name in files if name.endswith("ys.csv") and "surveys" not in name]


def test_a_request_of_long_ago_is_refused_with_its_limit(client, owner, known):
    client.force_login(owner)
    address = reverse("shop:person_export", args=[known.pk])
    sent = posted(client.get(address), asked_how="email", asked_on="1950-01-01")
    assert "That is more than a year ago." in client.post(address, sent).content.decode()
    assert not PersonExport.objects.exists()


def test_what_the_shop_paid_others_and_earns_is_not_in_it(known, owner):
    sold = known.purchases_from_us.get().instrument
    make.make_purchase(
        instrument=make.make_instrument(by=owner), price_minor=7_654_321, seller=make.make_person(), by=owner
    )
    words = unzipped(export_of(known))["everything.json"].decode()
    for line in json.loads(words)["book-lines"]:
        assert not [name for name in line if name.startswith(("cost", "tax", "input_tax"))]
    assert "76543.21" not in words
    assert plain(sold.purchases.get().price_minor) not in [
        purchase["price_GBP"] for purchase in json.loads(words)["purchases"] if purchase["seller"] is None
    ]
    assert "Otto Nextley" not in words and "Ida Waites" not in words


def test_nobody_at_work_is_named_and_no_secret_handed_out(known, owner):
    words = unzipped(export_of(known))["everything.json"].decode()
    for name in ("recorded_by", "opened_by", "taken_by", "token_sha256", "seed"):
        assert f'"{name}"' not in words
    assert owner.get_full_name() not in words


def test_made_twice_it_is_the_same_file(known):
    assert export_of(known) == export_of(known)


def test_the_owner_writes_down_who_asked_and_fetches_it(client, owner, known):
    client.force_login(owner)
    address = reverse("shop:person_export", args=[known.pk])
    sent = posted(client.get(address), asked_how="email", asked_on=str(ON))
    answer = client.post(address, sent, follow=True)
    assert reverse("shop:person_export_file", args=[known.pk]) in answer.content.decode()
    handed = PersonExport.objects.get()
    fetched = client.get(reverse("shop:person_export_file", args=[known.pk]))
    assert fetched["Content-Type"] == "application/zip"
    assert (len(fetched.content), fetched["Cache-Control"]) == (handed.byte_count, "private, no-store")


def test_nothing_is_fetched_before_it_was_written_down(client, owner, known):
    client.force_login(owner)
    answer = client.get(reverse("shop:person_export_file", args=[known.pk]))
    assert answer.url == reverse("shop:person_export", args=[known.pk])


def test_a_day_to_come_is_refused_in_words(client, owner, known):
    client.force_login(owner)
    address = reverse("shop:person_export", args=[known.pk])
    sent = posted(client.get(address), asked_how="email", asked_on="2999-01-01")
    assert "That day has not come yet." in client.post(address, sent).content.decode()
    assert not PersonExport.objects.exists()
