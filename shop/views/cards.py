"""Pages of one person, found by the number of any of their cards."""

from functools import wraps

from django.shortcuts import get_object_or_404, redirect

from shop.models import Person


def of_standing_card(view):
    """The view with `person`; the address of a card that was joined leads to the one that stands."""

    @wraps(view)
    def found(request, pk, **more):
        card = get_object_or_404(Person.objects.select_related("merged_into"), pk=pk)
        if card.merged_into_id and request.method in ("GET", "HEAD"):
            return redirect(request.resolver_match.view_name, pk=card.merged_into_id, **more)
        return view(request, card.standing_card, **more)

    return found
