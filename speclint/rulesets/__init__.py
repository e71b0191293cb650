"""Rulesets: what a club allows, by class and by day."""
