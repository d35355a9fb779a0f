"""Web: the job in a browser, served on this machine alone."""

from giornata.web.app import create_app
from giornata.web.serving import serve

__all__ = ["create_app", "serve"]
