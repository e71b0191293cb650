"""Records that contradict each other, and values that nobody can have meant."""
