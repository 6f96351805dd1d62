"""The plant's own data: stop logs, what they say about each cause, production counts."""

import lazy_loader

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
