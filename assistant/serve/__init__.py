"""The terminal application in a browser: one process for each screen, one journal for each case."""
