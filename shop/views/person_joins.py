"""Two cards of one person: found, held side by side, joined, and parted again."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.joining import join_cards, part_cards
from shop.doubles import doubles_of, doubles_on_file
from shop.forms.joining import JoinForm, PartForm
from shop.models import Person
from shop.person_problems import joining_problems, parting_problems
from shop.views.answers import answer_form, today
from shop.views.cards import of_standing_card

MOST_FOUND = 20


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def people_doubles(request):
    return render(request, "shop/people_doubles.html", {"pairs": doubles_on_file()})


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
@of_standing_card
def person_join(request, person):
    """This card stands; `with` names the one that is joined to it."""
    other = request.GET.get("with", "")
    if not other.isdecimal():
        return _choose(request, person)
    double = get_object_or_404(Person, pk=int(other[:18]))
    form = JoinForm(request.POST or None, double=double, into=person)

    def act() -> str:
        join_cards(
            double=double,
            into=person,
            facts=form.facts(),
            reason=form.cleaned_data["reason"],
            by=request.user,
            on=today(),
        )
        messages.success(request, f"The two cards of {person.name} are one now.")
        return person.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    problems = joining_problems(double, person)
    context = {"person": person, "double": double, "form": form, "problems": problems}
    context["blocked"] = any(problem.is_blocker for problem in problems)
    return render(request, "shop/person_join.html", context)


def _choose(request, person: Person):
    words = request.POST.get("q", "").replace("\0", " ")[:100]
    others = Person.objects.standing().exclude(pk=person.pk)
    found = others.search(words)[:MOST_FOUND] if words.strip() else []
    context = {"person": person, "q": words, "found": found, "likely": doubles_of(person)[:MOST_FOUND]}
    return render(request, "shop/person_join_choose.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def person_part(request, pk):
    """Two people after all. The card named is the one that was joined."""
    double = get_object_or_404(Person.objects.select_related("merged_into"), pk=pk)
    form = PartForm(request.POST or None, name=double.name)

    def act() -> str:
        part_cards(double=double, reason=form.cleaned_data["reason"], by=request.user)
        messages.success(request, f"{double.name}, no. {double.pk}, has a card of their own again.")
        return double.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    problems = parting_problems(double)
    context = {"double": double, "form": form, "problems": problems, "blocked": bool(problems)}
    return render(request, "shop/person_part.html", context)
