"""Command line: a request becomes a verb, a record becomes a table or JSON."""

from giornata.cli.front import main

__all__ = ["main"]
