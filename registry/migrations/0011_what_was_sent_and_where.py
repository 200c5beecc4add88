
import django.db.models.deletion
import django.db.models.functions.comparison
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('registry', '0010_documents'),
    ]

    operations = [
        migrations.CreateModel(
            name='SampleSent',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('sent_on', models.DateField()),
                ('sent_to', models.CharField(help_text="Where it went: a laboratory or office; no person's name.", max_length=80)),
                ('permit', models.CharField(blank=True, max_length=60)),
                ('abroad', models.BooleanField(default=False, help_text='It went across a border.')),
                ('notes', models.CharField(blank=True, max_length=200)),
            ],
            options={
                'verbose_name_plural': 'samples sent',
                'ordering': ['sent_on', 'pk'],
                'abstract': False,
                'base_manager_name': 'objects',
            },
        ),
        migrations.RemoveConstraint(
            model_name='permitallowance',
            name='permit_line_once',
        ),
        migrations.AddField(
            model_name='fishdetails',
            name='left_abroad',
            field=models.BooleanField(default=False, help_text='It went across a border.'),
        ),
        migrations.AddField(
            model_name='miltuse',
            name='abroad',
            field=models.BooleanField(default=False, help_text='They went across a border.'),
        ),
        migrations.AddField(
            model_name='miltuse',
            name='permit',
            field=models.CharField(blank=True, help_text='Under which doses were given away.', max_length=60),
        ),
        migrations.AddField(
            model_name='miltuse',
            name='sent_to',
            field=models.CharField(blank=True, help_text='Of doses given away: where they went.', max_length=80),
        ),
        migrations.AddField(
            model_name='permitallowance',
            name='specimen',
            field=models.CharField(blank=True, choices=[('', 'Fish: young and eggs too'), ('milt', 'Milt: doses'), ('sample', 'Samples: tubes')], default='', max_length=6),
        ),
        migrations.AddField(
            model_name='transfer',
            name='abroad',
            field=models.BooleanField(default=False, help_text='They went across a border.'),
        ),
        migrations.AlterField(
            model_name='permitallowance',
            name='most',
            field=models.PositiveIntegerField(help_text='In all, young included; empty: no number is stated.', null=True),
        ),
        migrations.AddConstraint(
            model_name='permitallowance',
            constraint=models.UniqueConstraint(models.F('details'), models.F('act'), models.F('specimen'), django.db.models.functions.comparison.Coalesce('species', 0), django.db.models.functions.comparison.Coalesce('stock', 0), name='permit_line_once'),
        ),
        migrations.AddField(
            model_name='samplesent',
            name='entry',
            field=models.ForeignKey(editable=False, help_text='The journal entry that wrote this row.', on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
        migrations.AddField(
            model_name='samplesent',
            name='fish',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.fish'),
        ),
        migrations.AddField(
            model_name='samplesent',
            name='sample',
            field=models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='sendings', to='registry.tissuesample'),
        ),
        migrations.AddField(
            model_name='samplesent',
            name='withdrawn',
            field=models.ForeignKey(editable=False, help_text='The later entry that took this row back, if any; the row stays readable.', null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to='registry.journalentry'),
        ),
    ]
