"""The pages of the piano and the bench, as a phone shows them. The shop's are in the file beside."""

import pytest

from tests.journeys.seen_pages import faults_on, pages_of_the_workshop

pytestmark = pytest.mark.django_db(transaction=True)


def test_every_page_of_the_workshop_is_accessible_and_fits_a_phone(signed_in, client, world):
    found = pages_of_the_workshop(client, world)
    assert {"instruments:photos", "workorders:bench", "workorders:item_close"} <= set(found)
    assert not {"instruments:photo_file", "instruments:date_read"} & set(found)
    assert faults_on(signed_in, found) == {}
