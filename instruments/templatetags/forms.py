"""What creating forms need besides their fields."""

import uuid

from django import template
from django.forms import BaseForm
from django.utils.html import format_html
from django.utils.safestring import SafeString

from instruments.form_token import TOKEN_FIELD, form_token_of

register = template.Library()


@register.simple_tag(takes_context=True)
def form_token(context: template.Context, form: BaseForm | None = None) -> SafeString:
    """The hidden mark that lets one form do its work once; shown again after errors, a form keeps its mark.

    On a page with several creating forms give each its form, `{% form_token form %}`: only the one that was
    sent keeps the mark, the others get new ones.
    """
    request = context.get("request")
    was_sent = request is not None and request.method == "POST" and (form is None or form.is_bound)
    token = (was_sent and form_token_of(request)) or uuid.uuid4().hex
    return format_html('<input type="hidden" name="{}" value="{}">', TOKEN_FIELD, token)
