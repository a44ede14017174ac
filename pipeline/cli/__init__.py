"""The `witnessmark` command. One module per group of commands; this file only puts them together."""

from pipeline.cli.main import main

__all__ = ["main"]
