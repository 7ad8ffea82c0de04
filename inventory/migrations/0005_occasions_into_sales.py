"""Bring what slots and fairs sold so far into the sales of their days.

Until now those figures stood with their lines alone. A day before the book began that
has sales written down was typed in, and holds them already.
"""

from zoneinfo import ZoneInfo

from django.db import migrations
from django.db.models import F

LONDON = ZoneInfo("Europe/London")
OCCASIONS = ("slot", "repeat", "fair")


def bring_in(apps, schema_editor):
    Line = apps.get_model("production", "Line")
    SalesDay = apps.get_model("inventory", "SalesDay")
    began = first_day(apps.get_model("inventory", "Entry"))
    lines = Line.objects.filter(sold__isnull=False, selling_day__kind__in=OCCASIONS)
    for line in lines.select_related("selling_day"):
        day = line.selling_day.starts_at.astimezone(LONDON).date()
        row, is_new = SalesDay.objects.get_or_create(
            item_id=line.item_id, outlet_id=line.selling_day.outlet_id, day=day
        )
        was_typed = not is_new and (began is None or day < began)
        already = line.sold if was_typed else 0
        apps.get_model("inventory", "OccasionSales").objects.create(
            reference=f"selling day {line.selling_day_id}",
            item_id=line.item_id,
            outlet_id=line.selling_day.outlet_id,
            day=day,
            sold=line.sold,
            already=already,
        )
        SalesDay.objects.filter(pk=row.pk).update(sold=F("sold") + line.sold - already)


def first_day(Entry):
    first = Entry.objects.order_by("pk").first()
    return first.happened_at.astimezone(LONDON).date() if first else None


def take_out(apps, schema_editor):
    SalesDay = apps.get_model("inventory", "SalesDay")
    for one in apps.get_model("inventory", "OccasionSales").objects.all():
        SalesDay.objects.filter(
            item_id=one.item_id, outlet_id=one.outlet_id, day=one.day
        ).update(sold=F("sold") - one.sold + one.already)
        one.delete()


class Migration(migrations.Migration):

    dependencies = [
        ("inventory", "0004_returns_and_occasions"),
        ("production", "0001_first"),
    ]

    operations = [migrations.RunPython(bring_in, take_out)]
