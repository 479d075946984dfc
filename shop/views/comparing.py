"""Two to four instruments on one page and on paper, for those who work here and for strangers alike."""

from urllib.parse import urlencode

from django.contrib.auth.decorators import login_not_required
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET

from shop.actions.comparison_papers import comparison_paper
from shop.chosen import ticked
from shop.comparing import LEAST, MOST, MOST_OFFERED, comparable, compare
from shop.listening import address_of
from shop.views.answers import today
from shop.views.papers import pdf_answer


@login_not_required
@require_GET
def comparison(request):
    asked = ticked(request.GET)
    chosen = _chosen(request.user, asked)
    both = compare(chosen[:MOST], request.user) if len(chosen) >= LEAST else None
    offered = list(comparable(request.user)[:MOST_OFFERED])
    context = {
        "frame": "base.html" if request.user.is_authenticated else "base_public.html",
        "comparison": both,
        "players": _players(both, request.user) if both else [],
        "query": urlencode([("of", each.stock_number) for each in chosen[:MOST]]),
        "offered": [(each, each in chosen[:MOST]) for each in offered],
        "refusal": _refusal(asked, chosen, request.user),
    }
    return render(request, "shop/comparison.html", context)


@login_not_required
@require_GET
def comparison_print(request):
    """The same on paper, in public words; without two that may be compared, the page says what is wrong."""
    chosen = _chosen(request.user, ticked(request.GET))[:MOST]
    if len(chosen) < LEAST:
        return redirect(f"{reverse('comparison')}?{request.GET.urlencode()[:500]}")
    return pdf_answer(comparison_paper(compare(chosen, request.user), on=today()), "comparison.pdf")


def _chosen(user, asked: list[str]) -> list:
    """In the order they were asked for; what nobody may see is left out."""
    found = {each.stock_number: each for each in comparable(user).filter(stock_number__in=asked[:20])}
    return [found[number] for number in asked[:20] if number in found]


def _refusal(asked: list[str], chosen: list, user) -> str:
    if not asked:
        return ""
    where = "in the stock" if user.is_authenticated else "in the window"
    if len(chosen) < min(len(asked), 20):
        gone = "One of those you chose is" if len(asked) - len(chosen) == 1 else "Some of those you chose are"
        return f"{gone} not {where} any more." + ("" if len(chosen) >= LEAST else " Choose at least two.")
    if len(chosen) > MOST:
        return f"Four at most can be compared; the first {MOST} are below."
    return "" if len(chosen) >= LEAST else "Choose one more, or up to three."


def _players(both, user) -> list:
    """For each piano its recordings with their addresses."""
    return [(piano, [(each, address_of(each, user)) for each in piano.recordings]) for piano in both.pianos]
