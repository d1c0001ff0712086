"""Somebody at a device left open does not guess a passphrase for long."""

from django.contrib import messages
from django.contrib.auth import logout
from django.forms import Form
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect

MOST_TRIES = 5
TRIES = "passphrase_tries"


def too_many_tries(request: HttpRequest, form: Form, field: str) -> HttpResponse | None:
    """Count wrong passphrases (errors of the field with code "wrong"); the fifth signs out."""
    if not form.has_error(field, "wrong"):
        if form.is_bound and not form.has_error(field):
            request.session.pop(TRIES, None)
        return None
    tries = request.session.get(TRIES, 0) + 1
    request.session[TRIES] = tries
    if tries < MOST_TRIES:
        return None
    logout(request)
    messages.error(request, f"{MOST_TRIES} wrong passphrases. Sign in again; nothing was changed.")
    return redirect("jobs:sign_in")
