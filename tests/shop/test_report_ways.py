"""From a condition report back to the deal that it was written for."""

from datetime import timedelta

import pytest

from instruments.report_ways import ways_on
from tests import make
from tests.make_sale import make_sale

pytestmark = pytest.mark.django_db


def test_the_report_of_a_trial_leads_on_to_that_trial_for_whoever_may_see_it(client, seller, technician):
    trial = make.make_running_trial()
    report = make.make_report(instrument=trial.instrument, occasion="out_on_trial", on=make.A_DAY)
    [way] = ways_on(report, seller)
    assert (way.words, way.url) == (f"On with home trial {trial.number}", trial.get_absolute_url())
    client.force_login(seller)
    assert way.words in client.get(report.get_absolute_url()).content.decode()
    assert ways_on(report, technician) == []


def test_the_report_of_a_sale_leads_on_to_that_sale_and_any_other_nowhere(seller):
    sale = make_sale(on=make.A_DAY)
    report = make.make_report(instrument=sale.instrument, occasion="back_from_buyer", on=make.A_DAY)
    assert [way.url for way in ways_on(report, seller)] == [sale.get_absolute_url()]
    before = make.A_DAY - timedelta(days=90)
    assert ways_on(make.make_report(instrument=sale.instrument, on=before), seller) == []
