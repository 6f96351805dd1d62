"""Words and tables: for the terminal, and as JSON and CSV."""
