import pytest

from shop.forms import PersonForm

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("number", ["", "01632 960 123", "+44 (0)1632 960-123", "01632/960123 ext. 4"])
def test_a_telephone_number_is_kept_as_written(number):
    form = PersonForm({"name": "Nell Sorrel", "telephone": number})
    assert form.is_valid() and form.cleaned_data["telephone"] == number


@pytest.mark.parametrize("number", ["abc", "123", "call the son", "01632 <b>"])
def test_words_are_not_a_telephone_number(number):
    form = PersonForm({"name": "Nell Sorrel", "telephone": number})
    assert form.errors["telephone"] == ["Give a telephone number, such as 01632 960 123."]
