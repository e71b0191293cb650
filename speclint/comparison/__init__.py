"""Comparison: what runs of one motor, or several motors side by side, show beyond the scatter of the bench."""
