"""Whether every kept file is still there and is what the journal says of it, withdrawn ones too."""

from typing import Any

from registry.files.store import fault_of
from registry.journal.findings import Finding, Report
from registry.journal.states import record_models

SAYS = {
    "missing": "is no longer in the data folder. Put it back from a backup",
    "altered": "is not what was kept: its content has another hash. Keep it apart, and put it back from a backup",
}


def check_files(report: Report, watch: Any) -> None:
    """Report kept files that are missing or altered, once for each record that names them."""
    for model in record_models().values():
        for column in model.KEPT_FILES:
            rows = model.objects.exclude(**{column: ""}).order_by("pk").values_list("pk", column)
            for key, sha256 in watch(rows.iterator(chunk_size=2000), f"files of {model._meta.verbose_name}"):
                fault = fault_of(sha256)
                if fault:
                    text = f"The file {sha256[:12]}… of {model._meta.verbose_name}, row {key}, {SAYS[fault]}."
                    report.add(Finding(f"{fault} file", text, table=model._meta.db_table, record=key))
