"""The list of parts: search, filters and order, all kept in the address."""

from typing import Any

import django_filters
from django import forms
from django.db.models import F, Q, QuerySet

from catalog.models import Ownership, Part, PartKind
from catalog.ratings import ANY_GAP, with_gaps

# Word in the address, heading, what to order by. Parts without a figure stand last either way.
SORTS = (
    ("code", "Code", "code"),
    ("description", "Description", "current__description"),
    ("kind", "Kind", "kind"),
    ("price", "List price", "current__list_price_cents"),
    ("hours", "Fitting", "current__labour_minutes"),
    ("weight", "Weight", "current__mass_g"),
    ("lead", "Lead time", "current__lead_days"),
)
_FIELDS = {word: field for word, _, field in SORTS}
_ORDERS = [(f"{sign}{word}", word) for word in _FIELDS for sign in ("", "-")]
_UNKNOWN = {"invalid_choice": "%(value)s is not one of the words that can be chosen here."}
STATES = [("retired", "Retired"), ("all", "In use and retired")]


def _choice(**options: Any) -> django_filters.ChoiceFilter:
    return django_filters.ChoiceFilter(error_messages=_UNKNOWN, **options)


class PartFilter(django_filters.FilterSet):
    search = django_filters.CharFilter(
        label="Search",
        max_length=100,
        method="find",
        widget=forms.TextInput(attrs={"type": "search", "autocomplete": "off"}),
    )
    kind = _choice(label="Kind", choices=PartKind.choices, empty_label="Every kind")
    ownership = _choice(
        label="Who supplies it",
        choices=Ownership.choices,
        field_name="current__ownership",
        empty_label="Everybody",
    )
    state = _choice(label="State", choices=STATES, method="leave", empty_label="In use")
    missing = django_filters.BooleanFilter(
        label="Only parts with missing ratings", method="lack", widget=forms.CheckboxInput
    )
    sort = _choice(choices=_ORDERS, method="order", widget=forms.HiddenInput, label="Order")

    class Meta:
        model = Part
        fields: list[str] = []

    def find(self, parts: QuerySet[Part], name: str, value: str) -> QuerySet[Part]:
        """Every word must stand in the code or in the description."""
        for word in value.split():
            parts = parts.filter(Q(code__icontains=word) | Q(current__description__icontains=word))
        return parts

    def leave(self, parts: QuerySet[Part], name: str, value: str) -> QuerySet[Part]:
        return parts  # filter_queryset does it, because the empty choice filters as well

    def lack(self, parts: QuerySet[Part], name: str, value: bool) -> QuerySet[Part]:
        return parts.filter(ANY_GAP) if value else parts

    def order(self, parts: QuerySet[Part], name: str, value: str) -> QuerySet[Part]:
        field = F(_FIELDS[value.removeprefix("-")])
        down = value.startswith("-")
        first = field.desc(nulls_last=True) if down else field.asc(nulls_last=True)
        return parts.order_by(first, "code")

    def filter_queryset(self, parts: QuerySet[Part]) -> QuerySet[Part]:
        parts = with_gaps(parts)
        state = self.form.cleaned_data.get("state")
        if state != "all":
            parts = parts.filter(retired=state == "retired")
        return super().filter_queryset(parts)

    @property
    def narrowed(self) -> bool:
        """Whether anything but the order was asked for."""
        asked: dict[str, Any] = self.form.cleaned_data if self.form.is_valid() else {}
        return any(value for name, value in asked.items() if name != "sort")


def headings(asked: str) -> list[dict[str, str]]:
    """The sortable headings: where each leads, and how the list is ordered now."""
    asked = asked or "code"
    found = []
    for word, title, _ in SORTS:
        if asked == word:
            state, leads = "ascending", f"-{word}"
        else:
            state, leads = ("descending" if asked == f"-{word}" else ""), word
        found.append({"word": word, "title": title, "state": state, "leads": leads})
    return found
