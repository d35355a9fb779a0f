"""The pure core: arrays and frozen records in, records out."""
