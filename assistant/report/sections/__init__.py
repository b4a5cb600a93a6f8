"""The sections of a report, each drawn from the journal alone."""
