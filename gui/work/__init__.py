"""What the worker processes do. No Qt here: a worker starts quickly and draws nothing."""
