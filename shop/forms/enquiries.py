"""What a stranger asks, and what the shop does with it."""

from django import forms

from shop.enquiry_states import AskedAbout, EnquiryOutcome, EnquiryWay
from shop.forms.colleagues import ColleagueField
from shop.forms.people import MailField, TelephoneField
from shop.models import Enquiry, Person

NEW_CARD = "new"
MOST_LETTERS = 3000
NO_WAY_BACK = "Give an e-mail address or a telephone number: how else can we answer?"
SENT_TO_NOBODY = "They gave no e-mail address: say how else they were told."
NO_SERVER = "No mail server is set, so nothing is sent from here: copy the words, and say how they went."


class AskForm(forms.Form):
    """For strangers. `trap` is a field that people do not see; whoever fills it in is doubted."""

    about = forms.ChoiceField(label="What it is about", choices=AskedAbout, widget=forms.RadioSelect)
    message = forms.CharField(
        label="Your message",
        max_length=MOST_LETTERS,
        widget=forms.Textarea(attrs={"rows": 5, "data-wide": ""}),
    )
    name = forms.CharField(
        label="Your name", max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    email = MailField(widget=forms.EmailInput(attrs={"autocomplete": "email"}))
    telephone = TelephoneField(
        label="Or telephone",
        widget=forms.TextInput(attrs={"inputmode": "tel", "autocomplete": "tel"}),
    )
    tell_me = forms.BooleanField(
        label="Tell me by e-mail when another comes in that may suit me",
        required=False,
        widget=forms.CheckboxInput(attrs={"data-wide": ""}),
    )
    trap = forms.CharField(
        label="Leave this empty",
        required=False,
        max_length=500,
        widget=forms.TextInput(attrs={"autocomplete": "off", "tabindex": "-1"}),
    )

    def clean(self):
        cleaned = super().clean()
        reached = cleaned.get("email") or cleaned.get("telephone")
        if not reached and not {"email", "telephone"} & set(self.errors):
            self.add_error("email", NO_WAY_BACK)
        if cleaned.get("tell_me") and not cleaned.get("email") and "email" not in self.errors:
            self.add_error("email", "To be told by e-mail, give an e-mail address.")
        return cleaned

    def asked(self) -> dict:
        return {name: value for name, value in self.cleaned_data.items() if name != "trap"}


class EnquiryAnswerForm(forms.Form):
    words = forms.CharField(
        label="What they are told",
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 9, "data-wide": ""}),
    )
    how = forms.ChoiceField(label="How", choices=EnquiryWay, widget=forms.RadioSelect)

    def __init__(self, *args, enquiry: Enquiry, may_tell: bool, may_send: bool, **options):
        super().__init__(*args, **options)
        if not may_tell:
            self.fields["words"].label = "What you advise to tell them"
            del self.fields["how"]
            return
        left_out = set() if may_send and enquiry.email else {EnquiryWay.SENT}
        self.fields["how"].choices = [each for each in EnquiryWay.choices if each[0] not in left_out]
        if not may_send:
            self.fields["how"].help_text = NO_SERVER

    def answer(self) -> dict:
        return {"how": EnquiryWay.ADVICE} | self.cleaned_data


class EnquiryCustomerForm(forms.Form):
    """Which card it is: asked wherever one on file shares something with who wrote."""

    card = forms.ChoiceField(label="Who is it?", widget=forms.RadioSelect)

    def __init__(self, *args, alike: list[tuple[Person, str]], **options):
        super().__init__(*args, **options)
        self.people = {str(person.pk): person for person, _ in alike}
        cards = [(str(person.pk), f"{person}, who has the same {what}") for person, what in alike]
        self.fields["card"].choices = [*cards, (NEW_CARD, "Somebody new: make a card")]
        if not alike:
            self.fields["card"].initial = NEW_CARD

    def person(self) -> Person | None:
        return self.people.get(self.cleaned_data["card"])


class EnquiryPassForm(forms.Form):
    to = ColleagueField(label="To whom", required=False, empty_label="Whoever sells")
    why = forms.CharField(
        label="Why", max_length=300, required=False, widget=forms.Textarea(attrs={"rows": 2, "data-wide": ""})
    )


class EnquiryCloseForm(forms.Form):
    outcome = forms.ChoiceField(label="How it ended", choices=EnquiryOutcome, widget=forms.RadioSelect)
    why = forms.CharField(
        label="What became of it",
        max_length=300,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2, "data-wide": ""}),
    )
