"""Publishing: a ruleset as a site of plain pages, with all that a team needs to judge by it."""
