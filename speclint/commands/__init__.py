"""One module a command; `speclint.cli` fetches the one that is asked for, and what all of them share is in `shell`."""
