"""The window: shows a line and lets people change it. All arithmetic is linesim's."""
