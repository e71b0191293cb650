"""Explanations: what a name means, where it stands, how it comes about, and where that is from."""
