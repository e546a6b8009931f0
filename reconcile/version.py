"""The version, alone in a file so that every room and the build can read it."""

__version__ = "0.1.0"
