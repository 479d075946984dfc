"""Secrets and codes as forms. Nothing that was typed as a secret is ever sent back to the page."""

from django import forms
from django.contrib.auth.models import Group
from django.contrib.auth.password_validation import validate_password

from shop.actions.passwords import whose_way

WRONG = "Name and password do not go together. Mind capital letters, and try again."
WRONG_CODE = "That code is not right now. A code holds for half a minute: take the one shown next."


def secret(label: str, autocomplete: str, help_text: str = "") -> forms.CharField:
    widget = forms.PasswordInput(attrs={"autocomplete": autocomplete})
    return forms.CharField(label=label, strip=False, widget=widget, max_length=1_000, help_text=help_text)


class SignInForm(forms.Form):
    username = forms.CharField(
        label="Name",
        max_length=150,
        widget=forms.TextInput(
            attrs={"autocomplete": "username", "autocapitalize": "none", "autofocus": True}
        ),
    )
    password = secret("Password", "current-password")


class CodeForm(forms.Form):
    code = forms.CharField(
        label="Code",
        max_length=40,
        widget=forms.TextInput(
            attrs={"autocomplete": "one-time-code", "autocapitalize": "none", "spellcheck": "false"}
        ),
        help_text="The six figures that your telephone shows, or one of your recovery codes.",
    )


class ConfirmForm(forms.Form):
    present = secret("Your present password", "current-password")


class SetUpForm(ConfirmForm, CodeForm):
    """`key` is signed for the person, so that nobody can be given a key that somebody else knows."""

    key = forms.CharField(widget=forms.HiddenInput, max_length=300)
    field_order = ["key", "code", "present"]

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["code"].help_text = "The six figures that the telephone shows now."


class EmailForm(ConfirmForm):
    email = forms.EmailField(
        label="E-mail",
        required=False,
        help_text="Where a letter goes when you have forgotten the password. Left empty, the owner helps.",
    )
    field_order = ["email", "present"]


class NewPasswordForm(forms.Form):
    """`user` is whose it will be: a password that repeats their name is refused."""

    new = secret(
        "New password",
        "new-password",
        "At least twelve characters; three or four words that do not belong together are best.",
    )
    again = secret("The same once more", "new-password")

    def __init__(self, *args, user, **options):
        self.user = user
        super().__init__(*args, **options)

    def clean_new(self):
        validate_password(self.cleaned_data["new"], self.user)
        return self.cleaned_data["new"]

    def clean(self):
        data = super().clean()
        if "new" in data and "again" in data and data["new"] != data["again"]:
            self.add_error("again", "“The same once more” is another one. Type both again.")
        return data


class WayForm(NewPasswordForm):
    """By the link of a letter. What proves it stands after its `#`, which no browser sends in an address."""

    DEAD = (
        "This link leads nowhere any more: it was used, is more than three hours old, or was cut in two by a "
        "letter’s line."
    )
    way = forms.CharField(
        label="The link",
        max_length=600,
        widget=forms.TextInput(
            attrs={"autocomplete": "off", "spellcheck": "false", "data-from-fragment": True}
        ),
        help_text="Copy it whole from the letter, or what stands after its #.",
    )
    field_order = ["way", "new", "again"]

    def __init__(self, *args, **options):
        super().__init__(*args, user=None, **options)

    def clean_way(self):
        self.user = whose_way(self.cleaned_data["way"].rpartition("#")[2])
        if self.user is None:
            raise forms.ValidationError(self.DEAD)
        return self.cleaned_data["way"]


class ChangePasswordForm(ConfirmForm, NewPasswordForm):
    field_order = ["present", "new", "again"]


class ForgottenForm(forms.Form):
    username = forms.CharField(
        label="Name",
        max_length=150,
        widget=forms.TextInput(attrs={"autocomplete": "username", "autocapitalize": "none"}),
        help_text="The one you sign in with.",
    )


class RulesForm(forms.Form):
    roles = forms.ModelMultipleChoiceField(
        label="These roles",
        queryset=Group.objects.order_by("name"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Who has such a role and no second step sets one up when they next sign in.",
    )
