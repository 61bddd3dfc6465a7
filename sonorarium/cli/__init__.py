"""The command line: one verb for each thing a person wants."""

from sonorarium.cli.app import main

__all__ = ["main"]
