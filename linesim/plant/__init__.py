"""The plant's own data: stop logs, what they say about each cause, production counts."""
