"""Reports of a check: one module a kind."""
