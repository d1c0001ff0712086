"""What a datasheet leaves open. A check that needs a missing rating can never pass."""

from typing import Any

from django.db.models import Exists, OuterRef, Q, QuerySet

from catalog.models import CurrentDraw, Part, PartKind, PartRevision

# Kinds whose parts always draw current; others may be passive, such as a mount or a panel.
DRAWING_KINDS = (PartKind.WARNING, PartKind.SCENE)

WORDS = {
    "gap_weight": "weight",
    "gap_supply": "supply voltage range",
    "gap_table": "current table",
    "gap_average": "average current",
    "gap_peak": "peak current",
}
ANY_GAP = Q()
for _name in WORDS:
    ANY_GAP |= Q(**{_name: True})


def _gaps(revision: str, kind: str) -> dict[str, Any]:
    """One true-or-false expression a gap. `revision` leads to the revision, `kind` to its kind."""
    draws = CurrentDraw.objects.filter(revision=OuterRef(f"{revision}pk"))
    no_range = Q(**{f"{revision}supply_min_mv": None}) | Q(**{f"{revision}supply_max_mv": None})
    return {
        "gap_weight": Q(**{f"{revision}mass_g": None}) & ~Q(**{kind: PartKind.SUBLET}),
        "gap_supply": Q(Exists(draws)) & no_range,
        "gap_table": Q(**{f"{kind}__in": DRAWING_KINDS}) & ~Exists(draws),
        "gap_average": Q(Exists(draws.filter(average_ma=None))),
        "gap_peak": Q(Exists(draws.filter(peak_ma=None))),
    }


def with_gaps(parts: QuerySet[Part]) -> QuerySet[Part]:
    return parts.annotate(**_gaps("current__", "kind"))


def revisions_with_gaps(revisions: QuerySet[PartRevision]) -> QuerySet[PartRevision]:
    return revisions.annotate(**_gaps("", "part__kind"))


def gap_words(row: Any) -> list[str]:
    """The gaps of an annotated row in words."""
    return [words for name, words in WORDS.items() if getattr(row, name)]
