import django.db.models.deletion
from django.db import migrations, models


def find_lines(apps, schema_editor):
    """Differences named their build line; now they point at it."""
    lines = apps.get_model("jobs", "BuildLine").objects
    for row in apps.get_model("jobs", "UnitDifference").objects.exclude(ref=""):
        row.line = lines.filter(job_id=row.unit.job_id, ref=row.ref).first()
        row.save(update_fields=["line"])


class Migration(migrations.Migration):
    dependencies = [("jobs", "0002_notice_queue")]

    operations = [
        migrations.RenameField("unitdifference", "line", "ref"),
        migrations.AddField(
            "unitdifference",
            "line",
            models.ForeignKey(
                blank=True,
                null=True,
                on_delete=django.db.models.deletion.CASCADE,
                related_name="differences",
                to="jobs.buildline",
            ),
        ),
        migrations.AddField(
            "unitdifference",
            "pieces",
            models.PositiveSmallIntegerField(
                blank=True, null=True, verbose_name="Pieces on this unit"
            ),
        ),
        migrations.AlterField(
            "unitdifference",
            "text",
            models.CharField(blank=True, max_length=300, verbose_name="What is different"),
        ),
        migrations.RunPython(find_lines, migrations.RunPython.noop),
        migrations.RemoveField("unitdifference", "ref"),
        migrations.AddConstraint(
            "unitdifference",
            models.UniqueConstraint(
                condition=models.Q(("pieces__isnull", False)),
                fields=("unit", "line"),
                name="jobs_unitdifference_once",
            ),
        ),
        migrations.AddConstraint(
            "unitdifference",
            models.CheckConstraint(
                condition=models.Q(
                    ("pieces__isnull", True), ("line__isnull", False), _connector="OR"
                ),
                name="jobs_unitdifference_pieces_of_a_line",
            ),
        ),
    ]
