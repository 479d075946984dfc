from datetime import timedelta

import pytest
from django import forms
from django.utils import timezone

from instruments.forms.fields import NumberField, PastDayField


def test_today_and_before_may_have_happened():
    today = timezone.localdate()
    assert PastDayField().clean(today.isoformat()) == today


def test_tomorrow_has_not_come_yet():
    tomorrow = timezone.localdate() + timedelta(days=1)
    with pytest.raises(forms.ValidationError, match="has not come yet"):
        PastDayField().clean(tomorrow.isoformat())


@pytest.mark.parametrize("typed", ["-1.5", "-1,5", "\N{MINUS SIGN}1,5"])
def test_a_number_may_be_typed_with_any_minus(typed):
    assert str(NumberField().clean(typed)) == "-1.5"
