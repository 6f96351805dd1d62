"""What the model of the line leaves out, as a reader of a report must know it."""

from __future__ import annotations

LIMITS = (
    "All webs move as one, with one speed from stands to pockets; slack and tension exist only as"
    " stop causes. Reels differ in diameter and joints, not in quality.",
    "Web breaks have no memory: a bad reel does not break twice as often. Rejects are whole cuts.",
    "A set of reams travels the whole bridge; reams are not followed place by place.",
    "People can do everything, equally well and at once; nobody walks. A job that waits for more"
    " people is not overtaken.",
    "Stops are independent of each other: a tired crew, a damp week or a bad batch of paper that"
    " raises everything at once is not in it.",
    "Orders run in the sequence given. Money is only as good as the prices in the scenario.",
)
