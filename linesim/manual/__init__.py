"""The manual: its chapters, and all of them as one HTML page."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
