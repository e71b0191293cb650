"""Changes to a user's files: text spliced in at the positions of values, proved by reading it again, then written."""
