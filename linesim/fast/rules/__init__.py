"""The rules of the line for a compiler: each module beside the one of its name in ``line``.

A part says in its first line which function there it follows, or that only compiled code needs it.
``kernel`` has the way in; ``calling`` says how parts reach what is defined further on.
"""
