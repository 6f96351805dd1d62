"""What a sheeting-and-wrapping line really delivers, and why."""
