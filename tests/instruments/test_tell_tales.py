from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.models import Sighting, TellTale
from instruments.standings import standing_of
from tests import make
from tests.pictures import broken_upload, upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    make.make_tell_tale()
    return client


def save(client, instrument, *seen, was=(), **more):
    sent = {f"tell-tale-{row.pk}-is_seen": "on" for row in seen}
    sent |= {f"tell-tale-{row.pk}-was_seen": "True" for row in was}
    address = reverse("instruments:tell_tales", args=[instrument.stock_number])
    return client.post(address, sent | more | {"form_token": uuid4().hex}, follow=True)


def against_new_strings() -> list[TellTale]:
    rows = TellTale.objects.filter(question="strings")
    return [row for row in rows if "replaced" in row.speaks_against]


def test_the_page_says_how_to_look_and_what_to_take_care_of(signed_in):
    page = signed_in.get(
        reverse("instruments:tell_tales", args=[make.make_instrument().stock_number])
    ).content.decode()
    assert "Lamp and hand mirror" in page and "eye protection" in page


def test_saving_says_which_statement_moved(signed_in):
    told = make.make_statement(text="New strings in 1988", topic="strings", asserts="restrung")
    page = save(signed_in, told.instrument, *against_new_strings()).content.decode()
    assert "“New strings in 1988”: as told → contradicted." in page
    assert standing_of(told).name == "contradicted"


def test_saving_the_same_again_writes_nothing(signed_in):
    instrument, row = make.make_instrument(), TellTale.objects.first()
    save(signed_in, instrument, row)
    page = save(signed_in, instrument, row, was=[row]).content.decode()
    assert "Nothing has changed." in page and Sighting.objects.count() == 1


def test_unticking_what_the_page_showed_takes_it_back(signed_in):
    instrument, row = make.make_instrument(), TellTale.objects.first()
    save(signed_in, instrument, row)
    save(signed_in, instrument, was=[row])
    assert not instrument.sightings.seen().exists()


def test_a_page_opened_before_takes_no_newer_tick_back(signed_in):
    instrument = make.make_instrument()
    first, second = TellTale.objects.all()[:2]
    save(signed_in, instrument, first)
    save(signed_in, instrument, second)
    assert instrument.sightings.seen().count() == 2


def test_a_note_and_a_photo_are_kept_with_what_is_seen(signed_in):
    instrument, row = make.make_instrument(), TellTale.objects.first()
    photo = make.make_photo(instrument=instrument)
    field = f"tell-tale-{row.pk}"
    save(signed_in, instrument, row, **{f"{field}-note": "bass only", f"{field}-photo": str(photo.pk)})
    assert instrument.sightings.values_list("note", "photo").get() == ("bass only", photo.pk)


def test_a_photo_taken_at_the_bench_goes_with_what_it_shows(signed_in):
    instrument, row = make.make_instrument(), TellTale.objects.first()
    save(signed_in, instrument, row, **{f"tell-tale-{row.pk}-new_photo": upload("coils.jpg")})
    photo = instrument.sightings.get().photo
    assert (photo.original_name, photo.caption) == ("coils.jpg", row.text.rstrip("."))


def test_a_photo_is_enough_of_a_tick(signed_in):
    instrument, row = make.make_instrument(), TellTale.objects.first()
    save(signed_in, instrument, **{f"tell-tale-{row.pk}-new_photo": upload("coils.jpg")})
    assert instrument.sightings.seen().get().tell_tale == row


def test_a_bad_photo_is_named_and_the_tick_stands(signed_in):
    instrument, row = make.make_instrument(), TellTale.objects.first()
    torn = {f"tell-tale-{row.pk}-new_photo": broken_upload("torn.jpg")}
    page = save(signed_in, instrument, row, **torn).content.decode()
    assert "torn.jpg is damaged" in page
    assert instrument.sightings.seen().get().photo is None


def test_a_photo_is_kept_when_the_rest_is_refused(signed_in):
    instrument, row = make.make_instrument(), TellTale.objects.first()
    field = f"tell-tale-{row.pk}"
    sent = {f"{field}-new_photo": upload("coils.jpg"), f"{field}-note": "x" * 400}
    page = save(signed_in, instrument, row, **sent).content.decode()
    assert "Not saved yet" in page and not Sighting.objects.exists()
    assert f'<option value="{instrument.photos.get().pk}" selected>' in page


def test_a_photo_of_another_instrument_is_refused_and_nothing_saved(signed_in):
    instrument, row = make.make_instrument(), TellTale.objects.first()
    photo = make.make_photo()
    page = save(signed_in, instrument, row, **{f"tell-tale-{row.pk}-photo": str(photo.pk)}).content.decode()
    assert "Not saved yet" in page and not Sighting.objects.exists()


def folded(page: str, row) -> str:
    """The note and photograph fields of one tell-tale, from the start tag of what folds them away."""
    item = page.partition(f'id="tell-tale-{row.pk}"')[2]
    return item[item.index("<details") : item.index("</details>")]


def the_page(client, instrument) -> str:
    return client.get(reverse("instruments:tell_tales", args=[instrument.stock_number])).content.decode()


def test_notes_and_photographs_are_folded_away_until_they_are_wanted(signed_in):
    instrument = make.make_instrument()
    page, rows = the_page(signed_in, instrument), TellTale.objects.all()
    assert len(rows) > 50 and page.count("Add a note or a photograph") == len(rows)
    for row in rows:
        fields = folded(page, row)
        assert fields.startswith("<details>"), row
        assert (
            f'name="tell-tale-{row.pk}-note"' in fields and f'name="tell-tale-{row.pk}-new_photo"' in fields
        )


def test_a_note_or_a_photo_that_is_there_is_not_folded_away(signed_in):
    instrument = make.make_instrument()
    noted, pictured, bare, unseen = TellTale.objects.all()[:4]
    photo = make.make_photo(instrument=instrument)
    more = {f"tell-tale-{noted.pk}-note": "bass only", f"tell-tale-{pictured.pk}-photo": str(photo.pk)}
    save(signed_in, instrument, noted, pictured, bare, **more)
    page = the_page(signed_in, instrument)
    assert folded(page, noted).startswith("<details open>")
    assert folded(page, pictured).startswith("<details open>")
    assert folded(page, bare).startswith("<details>") and folded(page, unseen).startswith("<details>")


def test_a_mistake_is_not_folded_away(signed_in):
    instrument = make.make_instrument()
    wrong, right = TellTale.objects.all()[:2]
    page = save(
        signed_in, instrument, right, wrong, **{f"tell-tale-{wrong.pk}-photo": "999999"}
    ).content.decode()
    assert folded(page, wrong).startswith("<details open>") and "that is not among the choices" in folded(
        page, wrong
    )
    assert folded(page, right).startswith("<details>")


def test_queries_do_not_grow_with_what_is_seen(signed_in, django_assert_max_num_queries):
    instrument = make.make_instrument()
    save(signed_in, instrument, *TellTale.objects.all()[:9])
    with django_assert_max_num_queries(14):
        signed_in.get(reverse("instruments:tell_tales", args=[instrument.stock_number]))


def change(client, tell_tale, **said):
    kept = {name: getattr(tell_tale, name) for name in ("text", "look", "strength", "source", "caution")}
    sides = {"speaks_for": tell_tale.speaks_for, "speaks_against": tell_tale.speaks_against}
    sent = kept | sides | {"in_use": "on", "form_token": uuid4().hex} | said
    return client.post(reverse("instruments:tell_tale_edit", args=[tell_tale.pk]), sent)


@pytest.fixture
def keeper(client, owner):
    client.force_login(owner)
    return client


def test_a_tell_tale_out_of_use_weighs_nothing_any_more(keeper):
    told = make.make_statement(text="New strings in 1988", topic="strings", asserts="restrung")
    make.make_tell_tale()
    save(keeper, told.instrument, *against_new_strings())
    for row in against_new_strings():
        change(keeper, row, in_use="")
    assert standing_of(told).name == "as told"


def test_a_change_says_who_made_it(keeper, owner):
    row = make.make_tell_tale()
    change(keeper, row, text="Seen otherwise")
    newest = row.history.first()
    assert (newest.history_user, newest.history_change_reason) == (owner, "Tell-tale changed: what is seen")


def test_nothing_speaks_for_and_against_the_same(keeper):
    row = make.make_tell_tale()
    page = change(keeper, row, speaks_for=["cleaned"], speaks_against=["cleaned"]).content.decode()
    assert "cannot speak for an answer and against it" in page


def test_a_new_tell_tale_gets_a_code_of_its_own(keeper):
    make.make_tell_tale()
    said = {"text": "Fresh felt", "speaks_for": ["replaced"], "strength": "weak", "source": "our bench"}
    for _ in range(2):
        sent = said | {"in_use": "on", "form_token": uuid4().hex}
        keeper.post(reverse("instruments:tell_tale_add", args=["strings"]), sent)
    codes = TellTale.objects.filter(text="Fresh felt").values_list("code", flat=True)
    assert list(codes) == ["fresh-felt", "fresh-felt-2"]
