"""Every answer says what may be loaded for it, as the settings have it."""

import pytest
from csp.constants import HEADER
from csp.utils import build_policy
from django.http import HttpResponse
from django.test import override_settings

from shop.security.policy import OnePolicy

OTHER = {"DIRECTIVES": {"default-src": ["'none'"]}}


def policy_of(rf, response: HttpResponse, policy: OnePolicy | None = None) -> str | None:
    policy = policy or OnePolicy(None)
    policy.get_response = lambda request: response
    return policy(rf.get("/")).get(HEADER)


def test_it_is_that_of_the_settings_word_by_word(rf, client, db):
    assert policy_of(rf, HttpResponse()) == build_policy() == client.get("/login/")[HEADER]
    assert "default-src 'self'" in build_policy()


def test_what_is_kept_is_not_said_under_other_settings(rf):
    policy = OnePolicy(None)
    usual = policy_of(rf, HttpResponse(), policy)
    with override_settings(CONTENT_SECURITY_POLICY=OTHER):
        assert policy_of(rf, HttpResponse(), policy) == "default-src 'none'"
    assert policy_of(rf, HttpResponse(), policy) == usual


def test_an_answer_may_bring_a_policy_of_its_own(rf):
    assert policy_of(rf, HttpResponse(headers={HEADER: "sandbox"})) == "sandbox"


@pytest.mark.parametrize(
    ("status", "is_debug", "is_said"), [(500, True, False), (200, True, True), (500, False, True)]
)
def test_only_the_pages_for_a_developer_are_spared(rf, status, is_debug, is_said):
    with override_settings(DEBUG=is_debug):
        assert (policy_of(rf, HttpResponse(status=status)) is not None) == is_said
