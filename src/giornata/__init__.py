"""giornata: plan, price and set out a painted wall."""

__version__ = "0.1.0"
