"""Commands that are large enough for a module of their own; `speclint.cli` fetches one when it is asked for."""
