"""The version of the program, said in every report."""

__version__ = "0.1.0"
