"""What every page needs to know: the shop, and which roles the reader holds."""

from typing import Any

from django.forms.renderers import TemplatesSetting
from django.http import HttpRequest

from config.access import ROLE_NAMES, roles_of
from jobs.people.models import Shop


class FormRenderer(TemplatesSetting):
    """Fields render through our own field group (templates/_field.html)."""

    field_template_name = "_field.html"
    form_template_name = "_form.html"


def shop(request: HttpRequest) -> dict[str, Any]:
    user = getattr(request, "user", None)
    roles = roles_of(user) if user is not None else frozenset()
    return {
        "shop": Shop.objects.filter(pk=1).first(),
        "roles": roles,
        "role_words": [ROLE_NAMES[role] for role in ROLE_NAMES if role in roles],
        "mode": request.COOKIES.get("mode", "auto"),
    }
