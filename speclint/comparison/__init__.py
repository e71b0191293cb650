"""Bench: what two runs of a motor, many of them, or several motors show beyond what the bench can blur."""
