"""The form for a stranger's question, to stand on any public page."""

from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString

from instruments.form_token import TOKEN_FIELD
from shop.asking_marks import new_mark, opened_by
from shop.enquiry_words import consent_words
from shop.forms.enquiries import AskForm
from shop.models import Listing, ShopProfile

register = template.Library()


@register.inclusion_tag("shop/includes/ask_form.html", takes_context=True)
def ask_form(context: template.Context, listing: Listing | None, form: AskForm | None = None) -> dict:
    """Without `form` an empty one. A form shown again keeps the mark of when its page was first opened."""
    request = context["request"]
    mark = request.POST.get(TOKEN_FIELD, "") if form is not None and form.is_bound else ""
    return {
        "form": AskForm() if form is None else form,
        "listing": listing,
        "mark": _hidden(mark if opened_by(mark) else new_mark()),
        "consent": consent_words(ShopProfile.current()),
        "csrf_token": context.get("csrf_token"),
        "request": request,
    }


def _hidden(mark: str) -> SafeString:
    return format_html('<input type="hidden" name="{}" value="{}">', TOKEN_FIELD, mark)
