"""Remedies: the smallest changes that make an illegal entry legal."""
