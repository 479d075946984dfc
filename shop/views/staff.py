"""For the owner: who signs in and how, and the log of who did what."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.contrib.auth.models import User
from django.core.paginator import Paginator
from django.db.models import Exists, OuterRef
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django_otp.plugins.otp_totp.models import TOTPDevice

from shop.actions.log import seal_log
from shop.actions.passwords import hand_way, let_in
from shop.actions.second_step import lay_down, take_off
from shop.came_from import address_of
from shop.forms.log import LogForm
from shop.forms.sign_in import RulesForm
from shop.log_check import log_faults
from shop.models import LogHead, SecondStepRule
from shop.security.sessions import end_sessions
from shop.site_address import Site

MOST_FAULTS = 50
THEMSELVES = "That would lock you out of your own shop. Let another owner do it."


def _staff():
    having = TOTPDevice.objects.filter(user=OuterRef("pk"), confirmed=True)
    people = User.objects.annotate(has_step=Exists(having)).prefetch_related("groups")
    return people.order_by("-is_active", "first_name", "last_name", "username")


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
def staff(request):
    asked = [rule.role_id for rule in SecondStepRule.objects.all()]
    form = RulesForm(request.POST or None, initial={"roles": asked})
    if request.method == "POST" and form.is_valid():
        without = lay_down(
            roles=list(form.cleaned_data["roles"]), by=request.user, address=address_of(request)
        )
        for person in without:
            if person != request.user:
                end_sessions(person)
        messages.success(request, _laid_down(without))
        return redirect("shop:staff")
    page = Paginator(_staff(), 50).get_page(request.GET.get("page"))
    return render(request, "shop/staff.html", {"page": page, "form": form, "asked": asked})


def _laid_down(without) -> str:
    if not without:
        return "Kept."
    names = ", ".join(person.get_full_name() or person.get_username() for person in without)
    return f"Kept. {names} will set up a second step when they next sign in."


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def staff_person(request, pk):
    return _person_page(request, get_object_or_404(_staff(), pk=pk))


def _person_page(request, person, link: str = ""):
    context = {"person": person, "link": link, "lines": person.log_lines.all()[:12]}
    return render(request, "shop/staff_person.html", context)


@never_cache
@require_POST
@permission_required("shop.run_shop", raise_exception=True)
def staff_way(request, pk):
    """The link stands on the answer alone: it is kept nowhere."""
    person = get_object_or_404(_staff(), pk=pk, is_active=True)
    token = hand_way(user=person, by=request.user, address=address_of(request))
    return _person_page(request, person, f"{Site(request).named('password_new')}#{token}")


@require_POST
@permission_required("shop.run_shop", raise_exception=True)
def staff_step_off(request, pk):
    person = get_object_or_404(_staff(), pk=pk)
    if take_off(user=person, by=request.user, address=address_of(request)):
        end_sessions(person, but=request.session.session_key)
        messages.success(request, "Taken off: the password alone opens the shop until they set it up again.")
    return redirect("shop:staff_person", pk=pk)


@require_POST
@permission_required("shop.run_shop", raise_exception=True)
def staff_let_in(request, pk):
    """Turns about: who may sign in may not any more, and is out at once; who may not, may again."""
    person = get_object_or_404(_staff(), pk=pk)
    if person == request.user:
        messages.error(request, THEMSELVES)
    else:
        let_in(user=person, is_active=not person.is_active, by=request.user, address=address_of(request))
        messages.success(request, "Kept.")
    return redirect("shop:staff_person", pk=pk)


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def access_log(request):
    form = LogForm(request.GET)
    page = Paginator(form.lines(), 50).get_page(request.GET.get("page"))
    head = LogHead.objects.filter(pk=1).first()
    context = {
        "page": page,
        "form": form,
        "sealed": head.count if head else 0,
    }
    return render(request, "shop/access_log.html", context)


@never_cache
@require_POST
@permission_required("shop.run_shop", raise_exception=True)
def access_log_check(request):
    """The same as `manage.py verify` says of the log."""
    seal_log()
    faults = [fault for fault, _ in zip(log_faults(), range(MOST_FAULTS), strict=False)]
    return render(request, "shop/access_log_check.html", {"faults": faults, "head": LogHead.objects.first()})
