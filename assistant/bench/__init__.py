"""Measures the assistant on the simulated boat: minutes, tests, wrong parts, unresolved, beside other ways to go on."""
