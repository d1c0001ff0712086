"""The kinds of rows that make a build sheet: table, form, noun, and the page they are shown on."""

from dataclasses import dataclass
from typing import Any

from jobs.build_sheet import circuit_forms, forms, mode_forms, opening_forms


@dataclass(frozen=True, kw_only=True, slots=True)
class Kind:
    form: Any
    noun: str
    # URL name of the page that lists these rows, and its tab.
    back: str
    tab: str

    @property
    def title(self) -> str:
        """The noun at the start of a sentence."""
        return self.noun[0].upper() + self.noun[1:]

    @property
    def model(self) -> Any:
        return self.form._meta.model


def _kind(form: Any, noun: str, back: str, tab: str) -> Kind:
    return Kind(form=form, noun=noun, back=f"jobs:{back}", tab=tab)


KINDS: dict[str, Kind] = {
    "line": _kind(forms.LineForm, "build line", "build_sheet", "build"),
    "circuit": _kind(circuit_forms.CircuitForm, "circuit", "circuit_list", "circuits"),
    "feed": _kind(circuit_forms.FeedForm, "feed", "circuit_list", "circuits"),
    "supply": _kind(circuit_forms.SupplyForm, "supply", "circuit_list", "circuits"),
    "node": _kind(circuit_forms.NodeForm, "node", "circuit_list", "circuits"),
    "mode": _kind(mode_forms.ModeForm, "operating mode", "mode_list", "modes"),
    "payload": _kind(forms.PayloadForm, "crew or gear", "weight_sheet", "weight"),
    "opening": _kind(opening_forms.PassThroughForm, "pass-through", "circuit_list", "circuits"),
    "ac": _kind(mode_forms.AcSideForm, "120 V side", "ac_side", "circuits"),
    "branch": _kind(mode_forms.AcBranchForm, "120 V branch", "ac_side", "circuits"),
    "bond": _kind(mode_forms.NeutralBondForm, "neutral bond", "ac_side", "circuits"),
}
