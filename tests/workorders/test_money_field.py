import pytest
from django import forms

from workorders.forms.fields import MoneyField


class PriceForm(forms.Form):
    price = MoneyField(required=False)


@pytest.mark.parametrize(
    ("typed", "minor"), [("1,250", 125_000), ("£1 250.50", 125_050), ("", None), ("0", 0)]
)
def test_a_typed_amount_is_kept_in_minor_units(typed, minor):
    form = PriceForm({"price": typed})
    assert form.is_valid()
    assert form.cleaned_data["price"] == minor


def test_a_bad_amount_is_refused_and_kept_as_typed():
    form = PriceForm({"price": "a lot"})
    assert form.errors["price"] == ["“a lot” is not an amount: write it like 1,250 or 1250.50."]
    assert form["price"].value() == "a lot"


def test_an_amount_is_shown_as_a_person_types_it():
    assert 'value="1250.50"' in str(PriceForm(initial={"price": 125_050})["price"])
