"""What a password has to be: long. No mixture of signs is asked for, and none has to be changed in turn.

NIST SP 800-63B (section on passwords) and OWASP ASVS 5.0, 6.2, advise both.
"""

from django.core.exceptions import ValidationError

from shop.security.stolen import is_stolen

LEAST = 12


class LongEnough:
    """Beside the list of common passwords and the likeness to the own name, which Django looks for."""

    def validate(self, password, user=None):
        if len(password) < LEAST:
            raise ValidationError(self.get_help_text(), code="password_too_short")

    def get_help_text(self):
        return f"A password has at least {LEAST} characters: this is too short."


class NotMadeOfNames:
    """What is left of it without the person's own names and the words of the trade has to be long as well."""

    LEFT = 8
    TRADE = ("wrestplank", "piano", "password")

    def validate(self, password, user=None):
        names = [user.username, user.first_name, user.last_name, user.email.partition("@")[0]] if user else []
        left = password.casefold()
        for word in sorted(
            {*self.TRADE, *(name.casefold() for name in names if name)}, key=len, reverse=True
        ):
            left = left.replace(word, "")
        if len(left) < min(self.LEFT, len(password)):
            raise ValidationError(self.get_help_text(), code="password_too_similar")

    def get_help_text(self):
        return "It is too similar to your own name or a word of the trade: others would try that first."


class NotStolen:
    """Of those stolen elsewhere that would be long enough, none: Django's own list has 190 such."""

    def validate(self, password, user=None):
        if is_stolen(password):
            raise ValidationError(self.get_help_text(), code="password_stolen")

    def get_help_text(self):
        return "This password was stolen elsewhere and stands in the lists that others try first."
