"""Reports of `check`: what it finds, one module a kind."""
