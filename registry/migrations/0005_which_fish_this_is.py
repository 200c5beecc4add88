"""Codes set aside, two numbers of one fish, fish held apart; what a tag says of itself and of its evidence.

The tags' table is built anew on SQLite, which drops its guards: the last operation puts the same ones back.
"""

from typing import Any

import django.db.models.deletion
import django.db.models.functions.comparison
from django.db import migrations, models


# As in the second migration. Half-open periods; a tag that ended on the day it began was on no fish.
OVERLAP = """NEW.withdrawn_id IS NULL AND NEW.attached_on < COALESCE(NEW.ended_on, '9999-12-31') AND EXISTS (
    SELECT 1 FROM registry_tag o
    WHERE o.code = NEW.code AND o.system = NEW.system AND o.id IS NOT NEW.id AND o.withdrawn_id IS NULL
      AND o.attached_on < COALESCE(o.ended_on, '9999-12-31')
      AND o.attached_on < COALESCE(NEW.ended_on, '9999-12-31')
      AND NEW.attached_on < COALESCE(o.ended_on, '9999-12-31'))"""
GUARDS = {"tag_periods_apart_insert": "INSERT", "tag_periods_apart_update": "UPDATE"}


def guard_tags(apps: Any, schema_editor: Any) -> None:
    """Put the guards of tag periods back where the table was built anew (SQLite)."""
    if schema_editor.connection.vendor != "sqlite":
        return
    for name, event in GUARDS.items():
        schema_editor.execute(f"DROP TRIGGER IF EXISTS {name}", params=None)
        trigger = (
            f"CREATE TRIGGER {name} BEFORE {event} ON registry_tag WHEN {OVERLAP} "
            "BEGIN SELECT RAISE(ABORT, 'tag_periods_apart'); END"
        )
        schema_editor.execute(trigger, params=None)


class Migration(migrations.Migration):

    dependencies = [
        ('registry', '0004_species_told_apart'),
    ]

    operations = [
        migrations.CreateModel(
            name='HeldApart',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('evidence', models.CharField(help_text='What spoke for it, as it was shown.', max_length=400)),
            ],
            options={
                'verbose_name': 'fish held apart',
                'verbose_name_plural': 'fish held apart',
                'abstract': False,
                'base_manager_name': 'objects',
            },
        ),
        migrations.CreateModel(
            name='Rewritten',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('kind', models.CharField(max_length=40)),
                ('earlier', models.BigIntegerField()),
                ('later', models.BigIntegerField(null=True)),
            ],
            options={
                'verbose_name': 'row written again',
                'verbose_name_plural': 'rows written again',
                'abstract': False,
                'base_manager_name': 'objects',
            },
        ),
        migrations.CreateModel(
            name='SameFish',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('proved_on', models.DateField()),
                ('evidence', models.CharField(choices=[('second tag', 'Second tag'), ('genotype', 'Genotype match'), ('external tag', 'External tag'), ('photograph', 'Photograph of the scute pattern'), ('only fish', 'Only fish in its unit'), ('asserted', 'None: asserted')], max_length=12)),
                ('probability', models.DecimalField(decimal_places=3, help_text='Where it is asserted.', max_digits=4, null=True)),
            ],
            options={
                'verbose_name': 'two numbers of one fish',
                'abstract': False,
                'base_manager_name': 'objects',
            },
        ),
        migrations.CreateModel(
            name='SetAside',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('system', models.CharField(choices=[('iso', 'ISO 11784'), ('hex10', 'Older reader, 10 hex characters'), ('decimal', 'Older reader, 9 or 10 figures'), ('external', 'External tag')], max_length=10)),
                ('code', models.CharField(db_index=True, max_length=24)),
                ('read_on', models.DateField()),
                ('reason', models.CharField(help_text='What was seen, and why it is not the same fish.', max_length=200)),
                ('resolved_on', models.DateField(null=True)),
                ('resolution', models.CharField(blank=True, choices=[('retagged', 'The fish was given another tag'), ('holder ended', 'The tag of the other fish had ended'), ('misread', 'The code was misread'), ('one fish', 'Both numbers are one fish')], max_length=12)),
            ],
            options={
                'verbose_name': 'code set aside',
                'verbose_name_plural': 'codes set aside',
                'abstract': False,
                'base_manager_name': 'objects',
            },
        ),
        migrations.RemoveConstraint(
            model_name='crosssire',
            name='sire_once_in_cross',
        ),
        migrations.RemoveConstraint(
            model_name='parentpair',
            name='parent_pair_once',
        ),
        migrations.AddField(
            model_name='tag',
            name='known_by',
            field=models.CharField(blank=True, choices=[('second tag', 'Second tag'), ('genotype', 'Genotype match'), ('external tag', 'External tag'), ('photograph', 'Photograph of the scute pattern'), ('only fish', 'Only fish in its unit'), ('asserted', 'None: asserted')], help_text='How it is known that this is the same fish.', max_length=12),
        ),
        migrations.AddField(
            model_name='tag',
            name='probability',
            field=models.DecimalField(decimal_places=3, help_text='That it is the same fish, where this is only asserted.', max_digits=4, null=True),
        ),
        migrations.AddField(
            model_name='tag',
            name='retag',
            field=models.PositiveSmallIntegerField(help_text='Retag counter as read: how often the animal was tagged before. No part of the identity.', null=True),
        ),
        migrations.AlterField(
            model_name='miltlot',
            name='number',
            field=models.CharField(db_index=True, max_length=40),
        ),
        migrations.AlterField(
            model_name='recapture',
            name='number',
            field=models.CharField(db_index=True, max_length=40),
        ),
        migrations.AlterField(
            model_name='tag',
            name='evidence',
            field=models.CharField(blank=True, help_text='What was seen, in words.', max_length=200),
        ),
        migrations.AddConstraint(
            model_name='crosssire',
            constraint=models.UniqueConstraint(condition=models.Q(('withdrawn__isnull', True)), fields=('cross', 'sire'), name='sire_once_in_cross'),
        ),
        migrations.AddConstraint(
            model_name='miltlot',
            constraint=models.UniqueConstraint(condition=models.Q(('withdrawn__isnull', True)), fields=('number',), name='milt_lot_number_once'),
        ),
        migrations.AddConstraint(
            model_name='parentpair',
            constraint=models.UniqueConstraint(models.F('parentage'), django.db.models.functions.comparison.Coalesce('dam', 0), django.db.models.functions.comparison.Coalesce('sire', 0), condition=models.Q(('withdrawn__isnull', True)), name='parent_pair_once'),
        ),
        migrations.AddConstraint(
            model_name='recapture',
            constraint=models.UniqueConstraint(condition=models.Q(('withdrawn__isnull', True)), fields=('number',), name='recapture_number_once'),
        ),
        migrations.AddConstraint(
            model_name='tag',
            constraint=models.CheckConstraint(condition=models.Q(('probability__isnull', True), models.Q(('known_by', 'asserted'), ('probability__gt', 0), ('probability__lte', 1)), _connector='OR'), name='tag_probability_where_asserted'),
        ),
        migrations.AddField(
            model_name='heldapart',
            name='candidate',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='offered_for', to='registry.fish'),
        ),
        migrations.AddField(
            model_name='heldapart',
            name='entry',
            field=models.ForeignKey(editable=False, help_text='The journal entry that wrote this row.', on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
        migrations.AddField(
            model_name='heldapart',
            name='fish',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='held_apart_from', to='registry.fish'),
        ),
        migrations.AddField(
            model_name='heldapart',
            name='withdrawn',
            field=models.ForeignKey(editable=False, help_text='The later entry that took this row back, if any; the row stays readable.', null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
        migrations.AddField(
            model_name='rewritten',
            name='entry',
            field=models.ForeignKey(editable=False, help_text='The journal entry that wrote this row.', on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
        migrations.AddField(
            model_name='rewritten',
            name='withdrawn',
            field=models.ForeignKey(editable=False, help_text='The later entry that took this row back, if any; the row stays readable.', null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
        migrations.AddField(
            model_name='samefish',
            name='entry',
            field=models.ForeignKey(editable=False, help_text='The journal entry that wrote this row.', on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
        migrations.AddField(
            model_name='samefish',
            name='kept',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='numbers_joined', to='registry.fish'),
        ),
        migrations.AddField(
            model_name='samefish',
            name='other',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='proved_to_be', to='registry.fish'),
        ),
        migrations.AddField(
            model_name='samefish',
            name='withdrawn',
            field=models.ForeignKey(editable=False, help_text='The later entry that took this row back, if any; the row stays readable.', null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
        migrations.AddField(
            model_name='setaside',
            name='entry',
            field=models.ForeignKey(editable=False, help_text='The journal entry that wrote this row.', on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
        migrations.AddField(
            model_name='setaside',
            name='fish',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='codes_set_aside', to='registry.fish'),
        ),
        migrations.AddField(
            model_name='setaside',
            name='holder',
            field=models.ForeignKey(help_text='The fish that bears it.', on_delete=django.db.models.deletion.PROTECT, related_name='codes_met_again', to='registry.fish'),
        ),
        migrations.AddField(
            model_name='setaside',
            name='withdrawn',
            field=models.ForeignKey(editable=False, help_text='The later entry that took this row back, if any; the row stays readable.', null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
        migrations.AddConstraint(
            model_name='heldapart',
            constraint=models.CheckConstraint(condition=models.Q(('fish', models.F('candidate')), _negated=True), name='held_apart_from_another'),
        ),
        migrations.AddIndex(
            model_name='rewritten',
            index=models.Index(fields=['kind', 'later'], name='what_a_row_was_before'),
        ),
        migrations.AddConstraint(
            model_name='rewritten',
            constraint=models.UniqueConstraint(fields=('kind', 'earlier'), name='row_written_again_once'),
        ),
        migrations.AddConstraint(
            model_name='samefish',
            constraint=models.UniqueConstraint(condition=models.Q(('withdrawn__isnull', True)), fields=('other',), name='number_proved_one_fish_only'),
        ),
        migrations.AddConstraint(
            model_name='samefish',
            constraint=models.CheckConstraint(condition=models.Q(('kept', models.F('other')), _negated=True), name='two_numbers_to_be_one_fish'),
        ),
        migrations.AddConstraint(
            model_name='samefish',
            constraint=models.CheckConstraint(condition=models.Q(('probability__isnull', True), models.Q(('probability__gt', 0), ('probability__lte', 1)), _connector='OR'), name='same_fish_probability_over_0_up_to_1'),
        ),
        migrations.AddConstraint(
            model_name='setaside',
            constraint=models.UniqueConstraint(condition=models.Q(('resolved_on__isnull', True), ('withdrawn__isnull', True)), fields=('fish', 'system', 'code'), name='code_set_aside_once'),
        ),
        migrations.AddConstraint(
            model_name='setaside',
            constraint=models.CheckConstraint(condition=models.Q(('fish', models.F('holder')), _negated=True), name='code_set_aside_between_two_fish'),
        ),
        migrations.AddConstraint(
            model_name='setaside',
            constraint=models.CheckConstraint(condition=models.Q(('resolved_on__isnull', True), ('resolved_on__gte', models.F('read_on')), _connector='OR'), name='set_aside_resolved_after_it_began'),
        ),
        migrations.RunPython(guard_tags, guard_tags),
    ]
