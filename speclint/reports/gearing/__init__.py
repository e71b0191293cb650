"""Reports of a gearing: one module a kind."""
