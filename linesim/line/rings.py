"""What alarms ring for; machines go by the same numbers. Who is told stands in ``events``."""

(
    WEBS,
    TRANSFER,
    BRIDGE,
    PACKING,
    WRAPPER,
    OUTFEED,
    PEOPLE,
    PAUSE_BEGINS,
    PAUSE_OVER,
    FORCED,
    CAUSE,
    RESTORED,
    PREPARED,
    REEL_REPLACED,
    REWRAPPED,
    LOOK_WHETHER_EMPTY,
    CHANGED_OVER,
    CUT_MORE,
) = range(18)
