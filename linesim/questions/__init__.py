"""A study as a question: its name, its options and its scenarios in, an answer out."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
