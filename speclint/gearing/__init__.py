"""The safe start: which spur and pinion to begin with, and the next steps up from there."""
