"""Something else found at the bench on a piano that a customer wished to have worked on."""

import pytest
from django.urls import reverse

from tests import make
from tests.make_commission import make_approval
from workorders.actions.proposals import propose_work

pytestmark = pytest.mark.django_db


def test_the_owner_is_told_that_the_customer_has_to_approve_first(client, owner, technician):
    commission = make_approval(by=owner).quote.commission
    proposal = propose_work(
        item=commission.order.items.first(), part="fall", condition="attend", by=technician, on=make.A_DAY
    )
    client.force_login(owner)
    page = client.get(reverse("workorders:proposal_agree", args=[proposal.pk])).content.decode()
    assert f"{commission.number} is a customer’s wish" in page
    assert "approved in writing first." in page
