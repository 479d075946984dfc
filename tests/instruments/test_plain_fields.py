"""What is left empty is named with what to type there, and what is out of bounds with its bounds."""

import pytest
from django import forms
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import get_resolver, reverse
from django.utils.functional import Promise as Lazy

from instruments.forms.fields import DayField, PastDayField
from instruments.forms.plain import SENTENCES
from tests import make
from workorders.forms.fields import MinutesField, MoneyField


class Everything(forms.Form):
    why = forms.CharField(label="Why")
    price = MoneyField(label="Total price")
    time = MinutesField(label="Your time")
    day = DayField(label="Held until")
    past = PastDayField(label="Called on")
    kind = forms.ChoiceField(label="Kind", choices=[("a", "A")], widget=forms.RadioSelect)
    some = forms.MultipleChoiceField(label="Which", choices=[("a", "A")])
    count = forms.IntegerField(label="How many")
    share = forms.DecimalField(label="Share")
    agreed = forms.BooleanField(label="They agree")
    file = forms.FileField(label="Scan")
    own = forms.CharField(label="Own", error_messages={"required": "Say it."})


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("why", "“Why” is still empty: write a few words."),
        ("price", "“Total price” is still empty: give an amount, such as 1,250."),
        ("time", "“Your time” is still empty: give a time, such as 90 or 1 h 30."),
        ("day", "“Held until” is still empty: give a day, such as 21/03/2026."),
        ("past", "“Called on” is still empty: give a day, such as 21/03/2026."),
        ("kind", "“Kind” is still empty: choose one."),
        ("some", "“Which” is still empty: choose at least one."),
        ("count", "“How many” is still empty: give a whole number."),
        ("share", "“Share” is still empty: give a number."),
        ("agreed", "“They agree” has to be ticked before this goes on."),
        ("file", "“Scan” is still empty: choose a file."),
        ("own", "Say it."),
    ],
)
def test_each_kind_of_field_says_what_it_wants(name, sentence):
    assert list(Everything({})[name].errors) == [sentence]


def test_another_fault_keeps_its_own_words():
    assert list(Everything({"price": "dear"})["price"].errors) == [
        "“dear” is not an amount: write it like 1,250 or 1250.50."
    ]


class Bounded(forms.Form):
    why = forms.CharField(label="Why", max_length=5, min_length=3)
    count = forms.IntegerField(label="How many", min_value=2, max_value=9)
    share = forms.DecimalField(label="Share", max_digits=4, decimal_places=1)
    kind = forms.ChoiceField(label="Kind", choices=[("a", "A")])
    some = forms.MultipleChoiceField(label="Which", choices=[("a", "A")])
    day = forms.DateField(label="Called on")
    mail = forms.EmailField(label="E-mail")
    step = forms.IntegerField(label="Step", step_size=5)
    file = forms.FileField(label="Scan")


@pytest.mark.parametrize(
    ("name", "typed", "sentence"),
    [
        ("why", "far too long", "“Why” is too long: at most 5 characters, and this has 12."),
        ("why", "ab", "“Why” is too short: at least 3 characters, and this has 2."),
        ("why", "ab\0c", "“Why” has a character in it that cannot be kept. Type it again."),
        ("count", "10", "“How many” is 9 at most."),
        ("count", "1", "“How many” is 2 at least."),
        ("count", "some", "“How many” cannot be read: give a whole number."),
        ("share", "1.25", "“Share” has too many decimals: at most 1."),
        ("share", "12345", "“Share” has too many figures: at most 4."),
        ("share", "1234.5", "“Share” has too many figures: at most 4."),
        ("share", "half", "“Share” cannot be read: give a number."),
        ("kind", "b", "“Kind”: that is not among the choices."),
        ("some", ["b"], "“Which”: that is not among the choices."),
        ("day", "yesterday", "“Called on” cannot be read: give a day, such as 21/03/2026."),
        ("mail", "nell", "“E-mail” cannot be read: give an e-mail address, such as nell@sorrel.example."),
        ("step", "7", "“Step” goes in steps of 5."),
    ],
)
def test_each_limit_is_said_in_plain_words(name, typed, sentence):
    assert sentence in list(Bounded({name: typed})[name].errors)


def test_an_empty_file_is_named():
    file = SimpleUploadedFile("scan.pdf", b"")
    assert list(Bounded({}, {"file": file})["file"].errors) == ["“Scan”: that file is empty."]


def every_form(of=forms.BaseForm):
    for each in of.__subclasses__():
        yield from every_form(each)
        if each.__module__.split(".")[0] in {"instruments", "workorders", "shop"}:
            yield each


def djangos_codes(field: forms.Field):
    """The codes of all that Django would say of this field in words of its own."""
    yield from (code for code, message in field.error_messages.items() if isinstance(message, Lazy))
    yield from (each.code for each in field.validators if isinstance(getattr(each, "message", ""), Lazy))


def test_no_field_of_any_form_speaks_in_djangos_words():
    assert get_resolver().url_patterns  # imports every view, and so every form
    forms_found = list(every_form())
    codes = {
        code for form in forms_found for field in form.base_fields.values() for code in djangos_codes(field)
    }
    codes |= {"max_digits", "max_decimal_places", "max_whole_digits"}
    assert len(forms_found) > 100 and codes - {"required"} <= set(SENTENCES), codes - set(SENTENCES)


@pytest.mark.django_db
def test_no_page_says_that_a_field_is_required(client, owner):
    client.force_login(owner)
    address = reverse("shop:price_set", args=[make.make_instrument().stock_number])
    page = client.post(address, {"form_token": "a" * 32}).content.decode()
    assert "“Asking price” is still empty: give an amount" in page and "field is required" not in page
