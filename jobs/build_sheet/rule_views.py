"""The rule set of a job with its tables and sources, and the 120 V side."""

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_http_methods, require_safe

from config.access import DESIGNER, MANAGER, any_role, has_role, role_required
from jobs.build_sheet import actions, rule_words
from jobs.build_sheet.effects import effect_of
from jobs.build_sheet.models import AcSide
from jobs.build_sheet.review import review
from jobs.build_sheet.views import job_or_404, page
from jobs.electrical.rule_sets.catalog import RULE_SETS

AC_SUBJECTS = ("120 V", "AC branch", "inverter", "shore power", "neutral on")


class RuleSetForm(forms.Form):
    rule_set = forms.ChoiceField(
        label="Rule set of this job", choices=[(key, each.name) for key, each in RULE_SETS.items()]
    )


@require_safe
@any_role
def rule_set(request: HttpRequest, number: str) -> HttpResponse:
    """Every limit of the job's rule set with its source; ?show= looks at another one."""
    job = job_or_404(number)
    key = request.GET.get("show", job.rule_set)
    rules = RULE_SETS.get(key) or RULE_SETS["common-practice"]
    context = {
        "rules": rules,
        "rule_sets": RULE_SETS.values(),
        "known": job.rule_set in RULE_SETS,
        "limits": rule_words.limit_rows(rules),
        "insulations": rule_words.insulations(rules),
        "ampacity": rule_words.ampacity_rows(rules),
        "origins": rule_words.ampacity_sources(rules),
    }
    return page(request, job, "rule_set", **context)


@require_http_methods(["GET", "HEAD", "POST"])
@role_required(DESIGNER, MANAGER)
def rule_set_choose(request: HttpRequest, number: str) -> HttpResponse:
    """Judge the job by another rule set, after seeing what that changes."""
    job = job_or_404(number)
    initial = {"rule_set": request.GET.get("to", job.rule_set)}
    form = RuleSetForm(request.POST or None, initial=initial)
    if request.method != "POST" or not form.is_valid():
        return page(request, job, "rule_set_choose", status=422 if form.errors else 200, form=form)
    key, old = form.cleaned_data["rule_set"], job.rule_set
    if "preview" in request.POST:
        changes = effect_of(job, lambda: actions.choose_rule_set(job=job, key=key, by=request.user))
        job.rule_set = old
        context = {"form": form, "changes": changes, "previewed": True}
        return page(request, job, "rule_set_choose", **context)
    actions.choose_rule_set(job=job, key=key, by=request.user)
    messages.success(request, f"Job {number} is judged by {RULE_SETS[key].name}.")
    return redirect("jobs:circuit_list", number)


@require_safe
@any_role
def ac_side(request: HttpRequest, number: str) -> HttpResponse:
    """The 120 V side: inverter, shore power, charger, branches, neutral bonds, findings."""
    job = job_or_404(number)
    judged = [each for each in review(job).judged if each.finding.subject.startswith(AC_SUBJECTS)]
    context = {
        "judged": judged,
        "side": AcSide.objects.filter(job=job).select_related("inverter_feed").first(),
        "branches": job.ac_branches.all(),
        "bonds": job.neutral_bonds.all(),
        "may_edit": has_role(request.user, DESIGNER, MANAGER),
    }
    return page(request, job, "ac_side", **context)
