"""Corrections: a later entry that names what it corrects and why. The earlier row stays readable."""

from registry.operations.corrections.rows import Correction, correct

__all__ = ["Correction", "correct"]
