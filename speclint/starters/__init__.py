"""Starting files: commented setups, motors, rulesets and garages that pass `check` as they are written."""
