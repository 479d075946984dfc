"""What a browser may load for a page: said with every answer, and put into words once."""

from csp.constants import HEADER
from csp.utils import build_policy
from django.conf import settings


class OnePolicy:
    """The policy of the settings, which no page of ours changes; none has a nonce.

    Django's own pages for faults, which only a developer sees (DEBUG), bring a style that it forbids.
    """

    def __init__(self, get_response):
        self.get_response, self.kept = get_response, (None, "")

    def __call__(self, request):
        response = self.get_response(request)
        if not (settings.DEBUG and response.status_code in (404, 500)):
            response.setdefault(HEADER, self.words())
        return response

    def words(self) -> str:
        policy = settings.CONTENT_SECURITY_POLICY
        if self.kept[0] is not policy:
            self.kept = policy, build_policy()
        return self.kept[1]
