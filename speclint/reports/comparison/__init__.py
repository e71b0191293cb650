"""Reports of `compare`: motors held against each other, one module a kind."""
