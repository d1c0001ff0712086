"""The shop's meters and tools, with the date until which each may be trusted."""

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from config.access import INSPECTOR, MANAGER, any_role, bay_page, has_role, role_required
from inspections.checklists.models import Instrument, Result
from jobs.audit.record import record


class InstrumentForm(forms.ModelForm):  # type: ignore[type-arg]
    class Meta:
        model = Instrument
        fields = ("asset", "name", "calibration_due", "retired")
        widgets = {"calibration_due": forms.DateInput(attrs={"type": "date"})}
        help_texts = {
            "asset": "The number on the instrument's label.",
            "calibration_due": "Past this date its readings are refused. Empty: needs none.",
        }

    def clean_asset(self) -> str:
        """The number is part of every reading taken; a new one would break their chain."""
        asset = str(self.cleaned_data["asset"])
        results = Result.objects.filter(instrument=self.instance.pk) if self.instance.pk else None
        if results and "asset" in self.changed_data:
            raise forms.ValidationError(
                f"{self.initial['asset']} stands beside recorded readings, so its number cannot "
                f"become {asset}. Retire it and add another instrument."
            )
        return asset


@require_safe
@any_role
@bay_page
def instrument_list(request: HttpRequest) -> HttpResponse:
    context = {
        "instruments": Instrument.objects.all(),
        "today": timezone.localdate(),
        "may_edit": has_role(request.user, MANAGER, INSPECTOR),
    }
    return render(request, "inspections/bay/instrument_list.html", context)


@role_required(MANAGER, INSPECTOR)
@require_http_methods(["GET", "POST"])
def instrument_new(request: HttpRequest) -> HttpResponse:
    return _edit(request, None)


@role_required(MANAGER, INSPECTOR)
@require_http_methods(["GET", "POST"])
def instrument_edit(request: HttpRequest, instrument_id: int) -> HttpResponse:
    return _edit(request, get_object_or_404(Instrument, pk=instrument_id))


def _edit(request: HttpRequest, instrument: Instrument | None) -> HttpResponse:
    form = InstrumentForm(request.POST or None, instance=instrument)
    if request.method == "POST" and form.is_valid():
        saved = form.save()
        record(
            by=request.user,
            verb="changed" if instrument else "added",
            subject=saved,
            sentence=f"Instrument {saved}: calibration due {saved.calibration_due or 'never'}.",
        )
        messages.success(request, f"Instrument {saved} is saved.")
        return redirect("inspections:instrument_list")
    status = 422 if form.errors else 200
    context = {"form": form, "instrument": instrument}
    return render(request, "inspections/bay/instrument_edit.html", context, status=status)
