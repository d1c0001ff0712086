"""Who may do what. Every view carries exactly one of these marks; tests/test_urls.py proves it.

@role_required(MANAGER)            only people who hold one of the named roles
@any_role                          everybody who is signed in
@bay_page                          besides its mark: a PIN on a shared tablet opens it
@public                            nobody needs to sign in (first run, sign-in, customer links)
"""

from collections.abc import Callable
from functools import wraps
from typing import Any

from django.contrib.auth.decorators import login_not_required
from django.contrib.auth.models import AbstractBaseUser, AnonymousUser
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponseBase

MANAGER = "manager"
DESIGNER = "designer"
TECHNICIAN = "technician"
INSPECTOR = "inspector"
ROLES = (MANAGER, DESIGNER, TECHNICIAN, INSPECTOR)
ROLE_NAMES = {
    MANAGER: "Office manager",
    DESIGNER: "Designer",
    TECHNICIAN: "Technician",
    INSPECTOR: "Inspector",
}
PUBLIC = frozenset({"public"})

View = Callable[..., HttpResponseBase]


def roles_of(user: AbstractBaseUser | AnonymousUser) -> frozenset[str]:
    """The roles a person holds. Costs one query the first time, none after that."""
    cached = getattr(user, "_roles", None)
    if cached is None:
        groups = getattr(user, "groups", None)
        names = groups.values_list("name", flat=True) if user.is_authenticated and groups else ()
        cached = frozenset(names) & frozenset(ROLES)
        user._roles = cached  # type: ignore[union-attr]
    return cached


def has_role(user: AbstractBaseUser | AnonymousUser, *roles: str) -> bool:
    return bool(roles_of(user) & frozenset(roles))


def role_required(*roles: str) -> Callable[[View], View]:
    """Close a view to everybody without one of the roles; 403 says which role is missing."""
    allowed = frozenset(roles)
    if not allowed or not allowed <= frozenset(ROLES):
        raise ValueError(f"role_required got {roles!r}; choose from {ROLES!r}.")

    def mark(view: View) -> View:
        @wraps(view)
        def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponseBase:
            if not roles_of(request.user) & allowed:
                names = " or ".join(ROLE_NAMES[role] for role in ROLES if role in allowed)
                raise PermissionDenied(f"This needs the role {names}.")
            return view(request, *args, **kwargs)

        guarded.allowed_roles = allowed  # type: ignore[attr-defined]
        return guarded

    return mark


any_role = role_required(*ROLES)


def bay_page(view: View) -> View:
    """A page that a PIN opens on an enrolled tablet. All others ask for the passphrase."""
    view.pin_opens = True  # type: ignore[attr-defined]
    return view


def public(view: View) -> View:
    """Open a view to everybody. Use it for the few pages that come before signing in."""
    opened: View = login_not_required(view)
    opened.allowed_roles = PUBLIC  # type: ignore[attr-defined]
    return opened
