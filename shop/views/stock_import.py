"""Taking existing stock in from a file: looked at first, then all of it or none.

The file itself is kept privately under a token made from its own bytes, so neither the session nor the
browser carries it, and the same file cannot be taken in twice however often it is sent.
"""

import hashlib
from contextlib import suppress
from datetime import timedelta

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import transaction
from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.exports import csv_response
from instruments.models import Submission
from instruments.views.once import answered_before, once
from instruments.views.uploads import accepts_uploads
from shop.actions.intake import log_many
from shop.forms.stock_import import COLUMNS, NEEDED, StockFileForm, StockImport
from shop.sheets import SheetRefused, read_sheet
from shop.views.answers import today

FOLDER = "imports"
KEPT_FOR = timedelta(days=7)


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.log_instrument", raise_exception=True)
def instrument_import(request):
    form = StockFileForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        token = _kept(request, form.cleaned_data["file"])
        if Submission.objects.filter(token=token).exists():
            messages.warning(request, "This very file was taken in before. Nothing was done twice.")
            return redirect("stock")
        try:
            _read(request, token)
            return redirect("shop:import_preview", token)
        except SheetRefused as refused:
            default_storage.delete(_path(request, token))
            form.add_error("file", str(refused))
    context = {"form": form, "columns": COLUMNS, "needed": NEEDED}
    return render(request, "shop/instrument_import.html", context)


@require_GET
@permission_required("instruments.log_instrument", raise_exception=True)
def import_preview(request, token):
    context = {"stock": _read(request, token), "token": token}
    return render(request, "shop/import_preview.html", context)


@require_POST
@permission_required("instruments.log_instrument", raise_exception=True)
def import_confirm(request, token):
    if answer := answered_before(request):
        return answer
    stock = _read(request, token)
    if not stock.may_be_taken_in:
        return redirect("shop:import_preview", token)

    def act() -> str:
        logged = log_many(records=stock.records(), by=request.user, on=today())
        path = _path(request, token)
        transaction.on_commit(lambda: default_storage.delete(path))
        messages.success(
            request,
            f"{len(logged)} instruments logged, {logged[0].stock_number} to {logged[-1].stock_number}.",
        )
        return reverse("stock")

    return once(request, act) or redirect("shop:import_preview", token)


@require_GET
@permission_required("instruments.log_instrument", raise_exception=True)
def import_template(request):
    return csv_response("stock.csv", [heading for heading, _, _ in COLUMNS], [])


def _kept(request, uploaded) -> str:
    content = uploaded.read()
    token = hashlib.sha256(content).hexdigest()[:32]
    path = _path(request, token)
    _forget_old_files()
    if not default_storage.exists(path):
        default_storage.save(path, ContentFile(content))
    return token


def _read(request, token: str) -> StockImport:
    path = _path(request, token)
    if not default_storage.exists(path):
        raise Http404("There is no such file waiting.")
    with default_storage.open(path) as kept:
        return StockImport(read_sheet(kept.read()))


def _path(request, token: str) -> str:
    """One folder for each person: nobody looks into a file that somebody else sent."""
    return f"{FOLDER}/{request.user.pk}-{token}"


def _forget_old_files() -> None:
    if not default_storage.exists(FOLDER):
        return
    limit = timezone.now() - KEPT_FOR
    for name in default_storage.listdir(FOLDER)[1]:
        with suppress(FileNotFoundError):  # somebody else's request was quicker
            if default_storage.get_modified_time(f"{FOLDER}/{name}") < limit:
                default_storage.delete(f"{FOLDER}/{name}")
