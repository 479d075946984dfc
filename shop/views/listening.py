"""Two to four instruments side by side, for those who work here and for strangers alike."""

from django.contrib.auth.decorators import login_not_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from instruments.media import serve_file
from instruments.models import Recording
from instruments.sound_states import Register
from shop.listening import LEAST, MOST, by_register, heard_by, known_to, not_alike, side_by_side
from shop.models import Listing

MOST_NAMED = 8


@login_not_required
@require_GET
def listen(request):
    offered = by_register(heard_by(request.user))
    register = request.GET.get("register", "")
    if register not in offered:
        register = next(iter(offered), "")
    of_register = offered.get(register, [])
    asked = set(request.GET.getlist("of"))
    chosen = [each for each in of_register if each.instrument.stock_number in asked]
    beside = side_by_side(chosen[:MOST], request.user) if len(chosen) >= LEAST else []
    context = {
        "frame": "base.html" if request.user.is_authenticated else "base_public.html",
        "registers": [(each, Register(each).label) for each in offered],
        "register": register,
        "offered": [(each, each in chosen) for each in of_register],
        "beside": beside,
        "not_alike": not_alike([each.recording for each in beside]),
        "refusal": _refusal(asked, chosen),
        "left_out": _left_out(asked, chosen, register, request.user),
    }
    return render(request, "shop/listen.html", context)


def _refusal(asked: set[str], chosen: list[Recording]) -> str:
    if asked and len(chosen) < LEAST:
        return "Choose at least two pianos that are recorded in this register."
    if len(chosen) > MOST:
        return f"Four at most can be heard side by side; the first {MOST} are below."
    return ""


def _left_out(asked: set[str], chosen: list[Recording], register: str, user) -> str:
    """Of those that were asked for, which are not recorded in this register. A stranger learns no more."""
    missing = sorted(asked - {each.instrument.stock_number for each in chosen})[:MOST_NAMED]
    known = known_to(user).filter(stock_number__in=missing)
    names = [f"{each.maker_name}, {each.stock_number}" for each in known.order_by("stock_number")]
    if not names or not register:
        return ""
    listed = " and ".join(filter(None, ["; ".join(names[:-1]), names[-1]]))
    return f"{listed}: no recording of “{Register(register).label}” to hear yet, so left out."


@login_not_required
@require_GET
def listing_sound(request, slug, pk):
    """The copy without hidden data of a recording that is for the public, of an instrument in the window."""
    listing = get_object_or_404(Listing.objects.in_window(), slug=slug)
    recording = get_object_or_404(Recording.objects.public(), pk=pk, instrument=listing.instrument_id)
    if not recording.copy:
        raise Http404
    return serve_file(request, recording.copy, media_type=recording.copy_type, public=True)
