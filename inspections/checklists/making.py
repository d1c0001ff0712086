"""From a template and what it is made for to one check, and which of many are sampled."""

from dataclasses import replace
from decimal import Decimal
from hashlib import sha256
from typing import Any

from inspections.checklists.models import Result
from inspections.checklists.spec import PRACTICE, Spec
from inspections.checklists.template_models import CheckTemplate
from jobs.models import Unit

Fail = Result.Verdict.FAIL


class Maker:
    """Makes the checks of one unit from the newest templates; knows what is sampled on it."""

    def __init__(self, unit: Unit, templates: list[CheckTemplate]) -> None:
        self.unit = unit
        self.templates = {one.code: one for one in templates if not one.retired}
        units = list(unit.job.units.order_by("id").values_list("pk", flat=True)[:2])
        self.first_article = len(units) > 1 and units[0] == unit.pk
        failed = unit.results.filter(verdict=Fail, check_item__sampled=True)
        self.failed = set(failed.values_list("check_item__template_code", flat=True))

    def make(
        self, code: str, *, key: str, ref: str, names: dict[str, str] | None = None, **facts: Any
    ) -> Spec | None:
        """The check, or None where the shop does not check this any more."""
        template = self.templates.get(code)
        if template is None:
            return None
        spec = Spec(
            key=key,
            ref=ref[:20],
            title=_filled(template.title, names)[:160],
            area=template.area,
            stage=template.stage,
            kind=template.kind,
            instruction=_filled(template.instruction, names),
            expected_text=template.expected_text,
            tolerance_source=template.authority or PRACTICE,
            unit_of_measure=template.unit_of_measure,
            low=template.low,
            high=template.high,
            made_in=template.made_in,
            critical=template.critical,
            photo_required=template.photo_required,
            template_code=code,
            template_version=template.version,
            coverage_reason=template.coverage_reason,
        )
        return replace(spec, **facts)

    def sampling(self, code: str, subject: str, *, always: bool = False) -> tuple[bool, bool]:
        """Whether this one is checked, and whether it stands for others that are not.

        The choice is the same whenever it is made. The first unit of a fleet, and a unit on which
        one of the sample failed, have all of them checked.
        """
        template = self.templates.get(code)
        if template is None or template.coverage == CheckTemplate.Coverage.ALL or always:
            return True, False
        if self.first_article or code in self.failed or template.sample_percent >= 100:
            return True, template.sample_percent >= 100
        text = f"{self.unit.job.number}/{self.unit.number}/{code}/{subject}"
        drawn = int.from_bytes(sha256(text.encode()).digest()[:4], "big") % 100
        return drawn < template.sample_percent, True


def _filled(text: str, names: dict[str, str] | None) -> str:
    for name, value in (names or {}).items():
        text = text.replace("{" + name + "}", value)
    return text


def margin_words(template: CheckTemplate) -> str:
    """How the tolerance was set: "15 % or 0.3 A"."""
    unit = template.unit_of_measure
    parts = [f"{template.spread_percent.normalize():f} %"] if template.spread_percent else []
    if template.spread_least:
        parts.append(f"{template.spread_least.normalize():f} {unit}".strip())
    return " or ".join(parts)


def sourced(template: CheckTemplate, words: str) -> str:
    return f"{template.authority or PRACTICE}: {words}"


def whole(value: Decimal) -> Decimal:
    return value.quantize(Decimal(1))
