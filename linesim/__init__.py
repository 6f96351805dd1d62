"""What a sheeting-and-wrapping line really delivers, and why.

What a user of Python needs of it; the stub beside says where each name is at home. Names are
fetched when first used, so that ``import linesim`` costs nothing.

>>> import linesim
>>> scenario = linesim.check({"slitter": {"lanes": 4}})
>>> scenario.set_reams
4
"""

import lazy_loader

from linesim.version import __version__ as __version__

__getattr__, __dir__, __all__ = lazy_loader.attach_stub(__name__, __file__)
__all__ += ["__version__"]
