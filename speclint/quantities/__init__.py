"""Quantities: what a rule can limit, how each is read or computed, and what it means."""
