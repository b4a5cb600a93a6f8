"""The knowledge, as data: YAML that a marine electrician can read. No code lives here."""
