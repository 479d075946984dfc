"""When an instrument was made: the range, what it rests on, and how each further piece narrows it."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from instruments.actions.identity import correct_identity
from instruments.datings import dating_of, dating_problems, replacing_problems
from instruments.views.answers import the_instrument


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def dating(request, stock_number):
    instrument = the_instrument(stock_number)
    found = dating_of(instrument)
    problems = [*dating_problems(found), *replacing_problems(found, instrument)] if found.edtf else []
    context = {"instrument": instrument, "dating": found, "problems": problems}
    context["is_blocked"] = any(problem.is_blocker for problem in problems)
    return render(request, "instruments/dating.html", context)


@require_POST
@permission_required("instruments.log_instrument", raise_exception=True)
def dating_take(request, stock_number):
    """Take the range as the date, if it is still the one that was shown."""
    instrument = the_instrument(stock_number)
    found = dating_of(instrument)
    if found.edtf != request.POST.get("made"):
        messages.warning(request, "The range has changed since that page was opened. Look at it again.")
        return redirect("instruments:dating", stock_number)
    if any(problem.is_blocker for problem in dating_problems(found)):
        messages.error(request, "Its date stays as it was: something on file contradicts that range.")
        return redirect("instruments:dating", stock_number)
    correct_identity(
        instrument=instrument,
        by=request.user,
        made=found.edtf,
        made_basis=found.basis,
        made_basis_note=found.note,
    )
    messages.success(request, f"Its date now reads: made {found.words}.")
    return redirect(f"{instrument.get_absolute_url()}#identity")
