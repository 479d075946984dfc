"""Choosing somebody who works here."""

from django.contrib.auth.models import User

from workorders.forms.fields import PersonField


class ColleagueField(PersonField):
    """Anybody who may log in, by name."""

    def __init__(self, *, empty_label: str = "Whoever sells", **options):
        super().__init__(empty_label=empty_label, **options)
        self.queryset = User.objects.filter(is_active=True).order_by("first_name", "last_name", "username")
