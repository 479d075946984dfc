from django.shortcuts import render
from django.views.decorators.http import require_GET

from instruments.forms.fields import reading_of


@require_GET
def date_read(request):
    """What the shop would understand of a date somebody is typing."""
    typed = next(iter(request.GET.values()), "")
    return render(request, "includes/date_read.html", {"reading": reading_of(typed)})
