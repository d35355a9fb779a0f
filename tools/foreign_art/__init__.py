"""Drawings made by others: read, painted, and compared with independent renderers."""
