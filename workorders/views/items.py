"""One item of work: what it asks for, what it waits for, what was given to it."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_GET

from workorders.problems import item_problems
from workorders.views.answers import the_item


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def item_page(request, pk):
    item = the_item(pk)
    return render(request, "workorders/item_page.html", {"item": item, "problems": item_problems(item)})
