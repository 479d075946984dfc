"""Pairs of photographs, keys tried again, pins and pitch: what each says when it does not close its item."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from instruments.problems import Blocked
from tests import make
from tests.workorders.pages import send
from workorders.actions.bench import log_time
from workorders.actions.items import close_item, reopen_item

pytestmark = pytest.mark.django_db

ON = make.A_DAY
BEFORE, LATER = ON - timedelta(days=1), ON + timedelta(days=20)
PINS = {"figure_name": "lowest pin torque", "figure_unit": "N·m", "figure_low": 5, "figure_high": 16}
PITCH = {"figure_name": "A4", "figure_unit": "cents", "figure_low": -2, "figure_high": 2}


def close(item, by, on=ON, **proof):
    return close_item(item=item, by=by, on=on, result="Done.", **proof)


def refused(item, by, on=ON, **proof):
    with pytest.raises(Blocked) as refusal:
        close(item, by, on=on, **proof)
    item.refresh_from_db()
    assert item.state == "open"
    return str(refusal.value)


def photo(item, on=ON, colour="sienna"):
    taken = make.make_photo(instrument=item.order.instrument, colour=colour)
    taken.taken_on = on
    taken.save()
    return taken


class TestTwoPhotographs:
    @pytest.fixture
    def item(self):
        return make.make_item(name="Clean out", acceptance="pair")

    def test_one_before_and_one_after_close_it_and_stay_with_it(self, technician, item):
        before, after = photo(item, BEFORE), photo(item, colour="navy")
        closed = close(item, technician, photo_before=before, photo=after)
        assert (closed.photo_before, closed.photo) == (before, after)
        reopened = reopen_item(item=closed, reason="Again.", by=technician, on=ON)
        assert (reopened.photo_before, reopened.photo) == (None, None)

    def test_what_is_missing_is_named(self, technician, item):
        assert refused(item, technician) == (
            "Choose or add a photograph from before the work. Add a photograph after the work."
        )

    def test_the_same_twice_is_not_two(self, technician, item):
        same = photo(item)
        assert "are the same photograph" in refused(item, technician, photo_before=same, photo=same)

    def test_changed_over_is_said(self, technician, item):
        before, after = photo(item), photo(item, BEFORE, "navy")
        assert "Were they changed over?" in refused(item, technician, photo_before=before, photo=after)

    def test_the_one_after_is_no_older_than_the_work(self, technician, item):
        log_time(item=item, person=technician, minutes=60, by=technician, on=ON)
        before, after = photo(item, BEFORE - timedelta(days=3)), photo(item, BEFORE, "navy")
        assert refused(item, technician, photo_before=before, photo=after) == (
            "The photograph of 20 March 2026 is older than the work itself, last done on 21 March 2026. "
            "Take one of how it is now."
        )

    def test_one_of_another_instrument_proves_nothing_even_for_the_owner(self, owner, item):
        other = make.make_photo(instrument=make.make_instrument())
        proof = {"photo_before": other, "photo": photo(item), "override_reason": "Alike."}
        assert "not one of this instrument's" in refused(item, owner, **proof)


class TestKeysTriedAgain:
    def test_each_key_listed_has_to_be_tried_and_those_left_are_named(self, technician):
        item = make.make_item(name="Ease the keys", acceptance="keys", keys="C4, D4, F4")
        assert refused(item, technician, keys=[40, 45]) == (
            "Not looked at again: D4. Try each key; it closes when every one is right."
        )
        closed = close(item, technician, keys=[40, 42, 45])
        assert closed.keys_rechecked == "C4, D4, F4"

    def test_where_none_is_listed_every_key_of_the_compass_is_asked_for(self, technician):
        item = make.make_item(name="Play every note", acceptance="keys")
        assert "Not looked at again: C7–A7." in refused(item, technician, keys=range(1, 76))
        assert close(item, technician, keys=range(1, 86)).keys_rechecked == "all keys"

    def test_the_page_takes_them_ticked_or_typed(self, client, technician):
        client.force_login(technician)
        item = make.make_item(name="Ease the keys", acceptance="keys", keys="C4, D4, F4")
        address = f"{item.get_absolute_url()}close/"
        fields = {"result": "Eased.", "done_on": "2026-03-21"}
        answer = send(client, address, keys=["40"], **fields)
        assert "Not looked at again: D4, F4." in answer.content.decode()
        send(client, address, keys=["40"], rechecked_keys="D4-F4", **fields)
        item.refresh_from_db()
        assert item.state == "done"


class TestPins:
    """In N·m, whatever the wrench was marked in: 30 lbf·in is 3.3895 N·m (NIST SP 811, from memory)."""

    @pytest.fixture
    def item(self):
        return make.make_item(name="Repin", acceptance="pins", **PINS)

    def survey(self, item, *torques, unit="N·m", on=ON):
        readings = [(40, string, Decimal(torque)) for string, torque in enumerate(torques, start=1)]
        return make.make_pin_survey(instrument=item.order.instrument, readings=readings, unit=unit, on=on)

    def test_every_pin_inside_closes_it_with_the_lowest(self, technician, item):
        closed = close(item, technician, pin_survey=self.survey(item, "8", "5", "16"))
        assert closed.measured == "lowest pin torque: 5 N·m"

    def test_each_pin_outside_is_named(self, technician, item):
        said = refused(item, technician, pin_survey=self.survey(item, "30", "50", "160", unit="lbf·in"))
        assert "C4, string 1 (3.4 N·m) is too loose: every pin has to take 5 to 16 N·m." in said
        assert "C4, string 3 (18.1 N·m) is too tight" in said and "string 2" not in said

    def test_none_and_one_older_than_the_work_are_refused(self, technician, item):
        assert "Measure the pins after the work" in refused(item, technician)
        log_time(item=item, person=technician, minutes=60, by=technician, on=ON)
        assert refused(item, technician, pin_survey=self.survey(item, "8", on=BEFORE)) == (
            "The survey of 20 March 2026 is older than the work itself, last done on 21 March 2026. "
            "Measure again."
        )

    def test_one_of_another_instrument_proves_nothing(self, owner, item):
        other = self.survey(make.make_item(order=make.make_order()), "8")
        said = refused(item, owner, pin_survey=other, override_reason="Alike.")
        assert said == "That survey of pins was taken on another instrument."


class TestPitchAndDrift:
    """Cents against the A4 agreed: 1200·log2 of the ratio (definition, from memory); A4 is key 49."""

    @pytest.fixture
    def item(self):
        return make.make_item(name="Fine tune", acceptance="pitch", **PITCH)

    @pytest.fixture
    def settling(self):
        drift = {"drift_cents": 3, "drift_days": 14}
        return make.make_item(name="Settle", acceptance="pitch", **PITCH, **drift)

    def survey(self, item, cents, stage="after_tuning", on: date = ON):
        return make.make_pitch_survey(
            instrument=item.order.instrument,
            readings=[(key, Decimal(value)) for key, value in cents.items()],
            stage=stage,
            on=on,
        )

    def test_a4_and_its_octave_inside_close_it_and_the_stretched_ends_do_not_matter(self, technician, item):
        closed = close(item, technician, pitch_survey=self.survey(item, {1: "-9", 49: "-0.5", 85: "12"}))
        assert closed.measured == "A4: -0.5 cents"

    def test_a_note_of_the_octave_outside_is_named(self, technician, item):
        said = refused(item, technician, pitch_survey=self.survey(item, {40: "-3", 49: "1"}))
        assert said == "C4 (−3.0 cents) stands off the pitch agreed: it has to be within 2 cents."

    def test_without_a4_or_as_found_it_stays_open(self, technician, item):
        assert "A4 was not read" in refused(item, technician, pitch_survey=self.survey(item, {40: "0"}))
        as_found = self.survey(item, {49: "0"}, stage="as_found")
        assert "was taken as found" in refused(item, technician, pitch_survey=as_found)

    def test_drift_wants_an_earlier_survey_and_names_what_moved(self, technician, settling):
        now = self.survey(settling, {49: "1", 61: "2"}, stage="settled", on=LATER)
        said = refused(settling, technician, on=LATER, pitch_survey=now)
        assert "Nothing to hold it against" in said and "at least 14 days before 10 April 2026" in said
        self.survey(settling, {49: "0", 61: "6"})
        assert refused(settling, technician, on=LATER, pitch_survey=now) == (
            "A5 (−4.0 cents) moved since 21 March 2026 by more than 3 cents. "
            "Tune again and let it settle once more."
        )
        again = self.survey(settling, {49: "1", 61: "4"}, stage="settled", on=LATER)
        assert close(settling, technician, on=LATER, pitch_survey=again).state == "done"
