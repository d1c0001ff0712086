"""All templates by key, in the order of their numbers."""

from jobs.controls.templates import body, mast, power, scene, warning
from jobs.controls.templates.apply import Template

TEMPLATES: dict[str, Template] = {
    template.key: template
    for template in sorted(
        (
            *warning.TEMPLATES,
            *scene.TEMPLATES,
            *mast.TEMPLATES,
            *body.TEMPLATES,
            *power.TEMPLATES,
        ),
        key=lambda template: template.key,
    )
}
