"""Every read and write: job file, site log, artwork, PDF, tables."""
