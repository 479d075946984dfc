from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from instruments.actions.statements import add_statement, correct_statement
from instruments.forms.statements import StatementCorrectionForm, StatementForm
from instruments.problems import statement_correction_problems
from instruments.views.answers import answer_form, the_instrument


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def statement_add(request, stock_number):
    instrument = the_instrument(stock_number)
    form = StatementForm(request.POST or None)

    def act() -> str:
        add_statement(instrument=instrument, by=request.user, **form.said())
        messages.success(request, "Written down.")
        return f"{instrument.get_absolute_url()}#history"

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "instruments/statement_form.html", {"form": form, "instrument": instrument})


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def statement_correct(request, stock_number, pk):
    instrument = the_instrument(stock_number)
    older = get_object_or_404(instrument.statements, pk=pk)
    form = StatementCorrectionForm(request.POST or None, older=older)

    def act() -> str:
        reason = form.cleaned_data["supersede_reason"]
        correct_statement(statement=older, reason=reason, by=request.user, **form.said())
        messages.success(request, "Corrected. The older words stay in the record.")
        return f"{instrument.get_absolute_url()}#history"

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "instrument": instrument, "older": older}
    context["problems"] = statement_correction_problems(older)
    return render(request, "instruments/statement_form.html", context)
