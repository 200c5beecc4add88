"""The register as a Django app."""

from django.apps import AppConfig


class RegistryConfig(AppConfig):
    """Registry remembers; breeding computes."""

    name = "registry"
    verbose_name = "Register"
    default_auto_field = "django.db.models.BigAutoField"

    def ready(self) -> None:
        from registry import checks  # noqa: F401, PLC0415  (system checks register on import, once models exist)
