"""Opens a repository: files found and read once, rulesets indexed, cars put together, entries resolved, for every command."""
