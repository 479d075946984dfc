"""The steps of a home trial between its start and its end: each a short form, written down once."""

from contextlib import nullcontext

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from instruments.scans import stored_scan
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from shop.actions.trial_extensions import extend_trial
from shop.actions.trial_steps import (
    agree_mover,
    record_collection,
    record_delivery,
    record_home_climate,
    survey_access,
)
from shop.calc.access import access_cautions
from shop.calc.home_air import HUMIDITY_WORDS
from shop.forms.trial_steps import (
    AccessForm,
    CollectionForm,
    DeliveryForm,
    ExtendTrialForm,
    HomeClimateForm,
    MoverForm,
)
from shop.states import TrialState
from shop.trial_problems import (
    climate_step_problems,
    collection_problems,
    delivery_problems,
    extension_problems,
    longest_until,
    mover_problems,
    survey_problems,
)
from shop.trial_reports import reports_of_trial
from shop.trial_states import Leg
from shop.views.answers import act_once, answer_form, today
from shop.views.trials import the_trial


def _page(request, trial, form, *, title, lede, problems, save="Write it down", cautions=()):
    context = {"trial": trial, "form": form, "title": title, "lede": lede, "save": save}
    context |= {"problems": problems, "cautions": cautions}
    return render(request, "shop/trial_step.html", context)


def _way_in_cautions(trial) -> list[str]:
    access, instrument = trial.accesssurvey_rows.first(), trial.instrument
    size = {"weight_kg": instrument.weight_kg, "depth_cm": instrument.depth_cm}
    if access is None:
        return access_cautions(**size)
    return access_cautions(
        steps=access.flights,
        door_widths_cm=access.doors_cm,
        parking_m=access.parking_m,
        has_lift=access.has_lift,
        **size,
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_extend(request, number):
    trial = the_trial(number)
    if request.method == "GET" and trial.state != TrialState.OUT:
        messages.info(request, f"{trial.number} is not out, and so it cannot be extended.")
        return redirect(trial)
    form = ExtendTrialForm(request.POST or None, trial=trial, today=today(), initial={"agreed_on": today()})

    def act() -> str:
        extension = extend_trial(trial=trial, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"Extended: the last day is {extension.until:%-d %B %Y}.")
        return trial.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    longest = longest_until(trial)
    asked = extension_problems(trial, until=longest, agreed_on=today(), is_late=True, on=today())
    context = {
        "form": form,
        "trial": trial,
        "longest": longest,
        "is_at_its_longest": trial.ends_on >= longest or longest < today(),
        "problems": [problem for problem in asked if not problem.is_blocker],
    }
    return render(request, "shop/trial_extend.html", context)


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_access(request, number):
    trial = the_trial(number)
    initial = {"asked_on": today(), "told_by": trial.person.name}
    form = AccessForm(request.POST or None, request.FILES or None, initial=initial)

    def act() -> str:
        told = {name: value for name, value in form.cleaned_data.items() if name != "file"}
        survey = survey_access(trial=trial, stored=stored, by=request.user, on=today(), **told)
        messages.success(request, f"The way in is written down: {survey}.")
        return trial.get_absolute_url()

    if request.method == "POST":
        if answer := answered_before(request):
            return answer
        if form.is_valid():
            picture = form.cleaned_data["file"]
            with stored_scan(picture) if picture else nullcontext() as stored:
                if answer := act_once(request, form, act):
                    return answer
    return _page(
        request,
        trial,
        form,
        title="The way in",
        lede=f"Ask {trial.person}, step by step, before a mover quotes: {' '.join(trial.address.split())}.",
        problems=survey_problems(trial, asked_on=today(), on=today()),
        cautions=_way_in_cautions(trial),
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_mover(request, number, leg):
    trial = the_trial(number)
    if leg not in Leg.values:
        raise Http404
    form = MoverForm(request.POST or None, trial=trial, leg=leg, today=today())

    def act() -> str:
        booking = agree_mover(trial=trial, leg=leg, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"Agreed: {booking}.")
        return trial.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return _page(
        request,
        trial,
        form,
        title=f"The mover: {Leg(leg).label.lower()}",
        lede="Who moves it, on which day, for which sum. Agreed anew, the newest word stands.",
        problems=mover_problems(trial, leg, on=today()),
        cautions=_way_in_cautions(trial),
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_delivered(request, number):
    trial = the_trial(number)
    form = DeliveryForm(
        request.POST or None, initial={"delivered_on": today(), "received_by": trial.person.name}
    )

    def act() -> str:
        out, _ = reports_of_trial(trial)
        delivery = record_delivery(
            trial=trial, report=out, air=form.air, by=request.user, on=today(), **form.facts
        )
        messages.success(request, f"{delivery}.")
        return trial.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    before = trial.trialdelivery_rows.first()
    return _page(
        request,
        trial,
        form,
        title="Delivered",
        lede=f"Written down already: {before}. What you write here corrects it."
        if before
        else f"Where it stands, and in what air. The agreement states {HUMIDITY_WORDS} relative humidity.",
        problems=delivery_problems(trial, delivered_on=None, on=today()),
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_climate(request, number):
    trial = the_trial(number)
    form = HomeClimateForm(request.POST or None, initial={"read_on": today()})

    def act() -> str:
        typed = dict(form.cleaned_data)
        climate = record_home_climate(trial=trial, by=request.user, on=typed.pop("read_on"), **typed)
        messages.success(request, f"Written down: {climate}.")
        return trial.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return _page(
        request,
        trial,
        form,
        title="The air at their home",
        lede=f"Measured by us or told by them. The agreement states {HUMIDITY_WORDS} relative humidity.",
        problems=climate_step_problems(trial),
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def trial_collected(request, number):
    trial = the_trial(number)
    form = CollectionForm(
        request.POST or None, initial={"collected_on": today(), "handed_over_by": trial.person.name}
    )

    def act() -> str:
        collection = record_collection(trial=trial, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{collection}. Compare its condition now.")
        return trial.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    before = trial.trialcollection_rows.first()
    return _page(
        request,
        trial,
        form,
        title="Collected",
        lede=f"Written down already: {before}. What you write here corrects it."
        if before
        else "Look it over with whoever hands it over, before it is loaded; both sign the condition sheet.",
        problems=collection_problems(trial, collected_on=None, on=today()),
        cautions=_way_in_cautions(trial),
    )
