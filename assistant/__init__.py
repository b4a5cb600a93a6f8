"""The program: an assistant that finds what failed in a tunnel thruster."""

__version__ = "0.1.0"
