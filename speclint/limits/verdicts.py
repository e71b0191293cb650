"""What the words of a verdict mean."""

from typing import Final

MEANINGS: Final = {
    "legal": "The setup states what the rule needs, and the rule is met.",
    "illegal": "The rule is broken. One such rule makes the entry illegal.",
    "not-shown": "The setup does not state what is needed, or what it states cannot decide. It never counts as met.",
    "to-inspect": "Only a person can judge it. It stands beside the entry's verdict and does not change it.",
    "not-applicable": "The rule does not bind this entry, or the club has waived it.",
}
"""Every verdict on a rule in a sentence, by its word."""
