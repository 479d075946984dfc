"""The stores: what is on hand, what is low, and what came, was counted and was written off."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.db.models import BooleanField, ExpressionWrapper, F, Q
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.exports import csv_response
from instruments.problems import Refused
from workorders.actions.stores import count, keep_consumable, receive, take_back_delivery, write_off
from workorders.forms.stores import ConsumableForm, CountForm, ReceiveForm, WriteOffForm
from workorders.models import Consumable, StockMovement
from workorders.store_states import ConsumableKind
from workorders.views.answers import answer_or_show, today

SHOWN = 60
MOVEMENTS_SHOWN = 40
COLUMNS = ("Kind", "Name", "Size", "On hand", "Unit", "Low when down to", "Where it is kept", "From whom")


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def store_list(request):
    stores = _asked_for(request)
    context = {
        "page": Paginator(stores, SHOWN).get_page(request.GET.get("page")),
        "low_only": "low" in request.GET,
        "kind": request.GET.get("kind", ""),
        "kinds": ConsumableKind.choices,
        "low_count": Consumable.objects.low().count(),
    }
    return render(request, "workorders/store_list.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def store_export(request):
    rows = (
        (
            *(each.get_kind_display(), each.name, each.size_words, round(each.on_hand, 2)),
            *(each.get_unit_display(), each.low_mark, each.location, each.supplier_note),
        )
        for each in _asked_for(request).iterator(chunk_size=500)
    )
    name = "low-stock" if "low" in request.GET else "stores"
    return csv_response(f"{name}-{today():%Y-%m-%d}.csv", COLUMNS, rows)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def consumable_page(request, pk):
    consumable = get_object_or_404(Consumable.objects.with_stock(), pk=pk)
    movements = consumable.movements.select_related(
        "consumable", "recorded_by", "corrected_by", "part__item__order__instrument"
    )
    context = {
        "consumable": consumable,
        "page": Paginator(movements, MOVEMENTS_SHOWN).get_page(request.GET.get("page")),
        "typical": consumable.typical_for.select_related("task").order_by("task__rank")[:SHOWN],
    }
    return render(request, "workorders/consumable_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def consumable_add(request):
    form = ConsumableForm(request.POST or None, initial={"kind": request.GET.get("kind", "")})
    return _kept(request, form, heading="Add to the stores")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def consumable_edit(request, pk):
    consumable = get_object_or_404(Consumable, pk=pk)
    form = ConsumableForm(request.POST or None, instance=get_object_or_404(Consumable, pk=pk))
    return _kept(request, form, heading="Change what is said of it", consumable=consumable)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def consumable_receive(request, pk):
    consumable = get_object_or_404(Consumable, pk=pk)
    form = ReceiveForm(request.POST or None, consumable=consumable, today=today())

    def act() -> str:
        moved = receive(consumable=consumable, by=request.user, **form.cleaned_data)
        messages.success(request, f"{consumable.amount_words(moved.quantity)} put into the stores.")
        return consumable.get_absolute_url()

    return _form(request, consumable, form, act, heading="Put a delivery away", save="Put it away")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def consumable_count(request, pk):
    consumable = get_object_or_404(Consumable.objects.with_stock(), pk=pk)
    form = CountForm(request.POST or None, consumable=consumable, today=today())

    def act() -> str:
        count(consumable=consumable, by=request.user, **form.cleaned_data)
        messages.success(request, "Counted. The books say so now.")
        return consumable.get_absolute_url()

    lede = f"By the books there should be {consumable.amount_words(round(consumable.on_hand, 2))}."
    return _form(request, consumable, form, act, heading="Count what is there", lede=lede, save="Counted")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def consumable_write_off(request, pk):
    consumable = get_object_or_404(Consumable, pk=pk)
    form = WriteOffForm(request.POST or None, consumable=consumable, today=today())

    def act() -> str:
        moved = write_off(consumable=consumable, by=request.user, **form.cleaned_data)
        messages.success(request, f"{consumable.amount_words(-moved.quantity)} written off.")
        return consumable.get_absolute_url()

    lede = "What is spoilt or lost: a loss to the shop, charged to no instrument."
    return _form(request, consumable, form, act, heading="Write some off", lede=lede, save="Write it off")


@require_POST
@permission_required("workorders.do_work", raise_exception=True)
def delivery_take_back(request, pk):
    delivery = get_object_or_404(StockMovement.objects.select_related("consumable"), pk=pk)
    try:
        take_back_delivery(delivery=delivery, by=request.user, on=today())
        messages.success(request, "The delivery is taken back. Both lines stay.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect(delivery.consumable)


def _asked_for(request):
    """The stores as the page was asked for: what is low first, or only that; one kind, or all."""
    stores = Consumable.objects.low() if "low" in request.GET else Consumable.objects.in_use().with_stock()
    if (kind := request.GET.get("kind")) in ConsumableKind:
        stores = stores.filter(kind=kind)
    is_low = ExpressionWrapper(
        Q(low_mark__isnull=False) & Q(on_hand__lte=F("low_mark")), output_field=BooleanField()
    )
    return stores.annotate(is_low=is_low).order_by("-is_low", "kind", "diameter_mm", "name", "pk")


def _kept(request, form, **page):
    def act() -> str:
        kept = keep_consumable(consumable=form.save(commit=False), by=request.user)
        messages.success(request, f"“{kept}” is in the stores.")
        return kept.get_absolute_url()

    return _form(request, page.pop("consumable", None), form, act, save="Save", **page)


def _form(request, consumable, form, act, **page):
    stores = reverse("workorders:store_list")
    back = consumable.get_absolute_url() if consumable else stores
    trail = [(stores, "Stores"), *([(back, consumable)] if consumable else [])]
    template = "workorders/stores_form.html"
    return answer_or_show(
        request, form, act, template=template, back=back, trail=trail, above=consumable, **page
    )
