import re
from collections import Counter
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.actions.evidence import record_sightings
from instruments.actions.statements import correct_statement
from instruments.calc.wording import RELATIONS
from instruments.models import Evidence, TellTale
from instruments.standings import standing_of
from instruments.states import Teller
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    return client


@pytest.fixture
def restrung(db):
    return make.make_statement(
        text="New strings in 1988",
        topic="strings",
        asserts="restrung",
        dated="1988",
        told_by="Canary Seller",
        teller="last_owner",
        is_public=True,
    )


def page_of(statement) -> str:
    return reverse("instruments:statement_page", args=[statement.instrument.stock_number, statement.pk])


def put_on_file(client, statement, **piece):
    address = reverse("instruments:evidence_add", args=[statement.instrument.stock_number, statement.pk])
    piece = {"side": "against", "strength": "strong", "note": "the wire is of 1910"} | piece
    return client.post(address, piece | {"form_token": uuid4().hex})


def take_back(client, piece, reason: str):
    address = reverse(
        "instruments:evidence_retract", args=[piece.statement.instrument.stock_number, piece.pk]
    )
    return client.post(address, {f"piece-{piece.pk}-reason": reason, "form_token": uuid4().hex})


def test_every_relation_a_form_offers_has_its_public_words():
    assert set(Teller.values) == set(RELATIONS)


def test_the_page_shows_what_the_public_reads_and_no_name_in_it(signed_in, restrung):
    page = signed_in.get(page_of(restrung)).content.decode()
    assert "The last owner told us" in page and "As told" in page


def test_a_sellers_name_stands_only_before_those_who_see_people(client, seller, technician, restrung):
    client.force_login(technician)
    assert "Canary Seller" not in client.get(page_of(restrung)).content.decode()
    client.force_login(seller)
    assert "Canary Seller" in client.get(page_of(restrung)).content.decode()


def test_evidence_put_on_file_moves_the_standing(signed_in, restrung):
    answer = put_on_file(signed_in, restrung)
    assert (answer.url, standing_of(restrung).name) == (page_of(restrung), "contradicted")
    assert "it is printed nowhere" in signed_in.get(page_of(restrung)).content.decode()


def test_a_piece_rests_on_a_photo_of_this_instrument(signed_in, restrung):
    photo = make.make_photo(instrument=restrung.instrument)
    put_on_file(signed_in, restrung, rests_on=f"photo-{photo.pk}")
    assert restrung.evidence.get().photo == photo


def test_a_photo_of_another_instrument_is_no_choice(signed_in, restrung):
    photo = make.make_photo()
    page = put_on_file(signed_in, restrung, rests_on=f"photo-{photo.pk}").content.decode()
    assert "that is not among the choices" in page and "the wire is of 1910" in page
    assert not Evidence.objects.exists()


def test_a_piece_is_taken_back_with_a_reason_and_stays_struck_out(signed_in, restrung):
    piece = make.make_evidence(statement=restrung, side="against", strength="strong", note="old wire")
    take_back(signed_in, piece, "it was the other piano")
    page = signed_in.get(page_of(restrung)).content.decode()
    assert "<del>old wire</del>" in page and "it was the other piano" in page
    assert standing_of(restrung).name == "as told"


def test_taking_a_piece_back_wants_a_reason(signed_in, restrung):
    piece = make.make_evidence(statement=restrung, side="against", strength="strong", note="old wire")
    assert "is still empty" in take_back(signed_in, piece, "").content.decode()
    assert restrung.evidence.count() == 1


def typed_again(statement, **said):
    fields = ("text", "topic", "asserts", "dated", "grade", "told_by", "teller", "is_public")
    said = {name: getattr(statement, name) for name in fields} | said
    return correct_statement(statement=statement, reason="spelling", by=make.somebody(), **said)


def test_typing_a_contradicted_claim_again_does_not_free_it(restrung):
    make.make_evidence(statement=restrung, side="against", strength="strong")
    assert standing_of(typed_again(restrung, text="New strings about 1988")).name == "contradicted"


def test_what_supported_a_claim_does_not_pass_to_another_one(restrung):
    make.make_evidence(statement=restrung, side="for", strength="strong")
    assert standing_of(typed_again(restrung, text="New strings in 2008", dated="2008")).name == "as told"


def test_what_supported_a_claim_stays_while_the_same_is_claimed(restrung):
    make.make_evidence(statement=restrung, side="for", strength="strong")
    assert standing_of(typed_again(restrung, teller="tuner")).name == "supported"


def test_an_earlier_wording_stands_on_the_page_with_the_reason(signed_in, restrung):
    newer = typed_again(restrung, text="New strings about 1988")
    page = signed_in.get(page_of(restrung)).content.decode()
    assert "You came by an earlier wording" in page
    assert "<del>New strings in 1988</del>" in page and newer.supersede_reason in page


def test_a_conflict_stands_on_both_pages_it_concerns(signed_in, restrung):
    make.make_statement(
        instrument=restrung.instrument, text="Made in 1995", topic="made", asserts="made", dated="1995"
    )
    page = signed_in.get(page_of(restrung)).content.decode()
    assert "Conflict:" in page and "comes before it was made" in page


def test_a_private_document_keeps_its_title_to_itself(client, technician, owner, restrung):
    paper = make.make_document(instrument=restrung.instrument, title="Letter of Mrs Arden", seen_by="owner")
    make.make_evidence(statement=restrung, document=paper)
    client.force_login(technician)
    page = client.get(page_of(restrung)).content.decode()
    assert "A document kept private" in page and "Mrs Arden" not in page
    client.force_login(owner)
    assert "Letter of Mrs Arden" in client.get(page_of(restrung)).content.decode()


def test_no_two_things_on_the_page_share_an_id(signed_in, restrung):
    sightings = [row for row in TellTale.objects.all() if row.question == "strings"] or [
        make.make_tell_tale(),
        *TellTale.objects.filter(question="strings")[1:3],
    ]
    record_sightings(
        instrument=restrung.instrument,
        seen=sightings[:3],
        looked_for=sightings[:3],
        by=make.somebody(),
        on=make.A_DAY,
    )
    make.make_evidence(statement=restrung)
    ids = re.findall(r' id="([^"]*)"', signed_in.get(page_of(restrung)).content.decode())
    assert [each for each, count in Counter(ids).items() if count > 1] == []
