import pytest

from shop.forms import PersonForm
from shop.models import Person
from tests import make

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("number", ["", "01632 960 123", "+44 (0)1632 960-123", "01632/960123 ext. 4"])
def test_a_telephone_number_is_kept_as_written(number):
    form = PersonForm({"name": "Nell Sorrel", "telephone": number})
    assert form.is_valid() and form.cleaned_data["telephone"] == number


@pytest.mark.parametrize("number", ["abc", "123", "call the son", "01632 <b>"])
def test_words_are_not_a_telephone_number(number):
    form = PersonForm({"name": "Nell Sorrel", "telephone": number})
    assert form.errors["telephone"] == ["Give a telephone number, such as 01632 960 123."]


@pytest.mark.parametrize(
    "asked", ["01632 960 171", "01632960171", "+44 1632 960171", "0044(0)1632 960171", "960171"]
)
def test_a_card_is_found_by_its_telephone_however_it_is_written(asked):
    person = make.make_person(name="Verity Holm", telephone="+44 1632 960171")
    other = make.make_person(name="Otto", telephone="01632 960 171")
    make.make_person(name="Ida", telephone="01632 960172")
    assert set(Person.objects.search(asked)) == {person, other}
    assert list(Person.objects.search(f"Verity {asked}")) == [person]


def test_a_number_that_is_too_long_is_refused_and_no_browser_cuts_it_first():
    form = PersonForm({"name": "Ida", "telephone": "1" * 200})
    assert "at most 40 characters, and this has 200" in form["telephone"].errors[0]
    assert "maxlength" not in str(form["telephone"]) and "1" * 200 in str(form["telephone"])
