"""Site: light on the wall at night; sun, climate and obstacles are not worked out yet."""

from giornata.core.site.ambient import ambient_over

__all__ = ["ambient_over"]
