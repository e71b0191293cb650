"""Advice: what no rule asks for, from common practice and for safety's sake."""
