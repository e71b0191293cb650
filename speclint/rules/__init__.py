"""Rules held against facts: verdicts, and what is said of them."""
