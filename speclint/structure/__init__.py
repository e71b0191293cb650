"""The shape of documents: JSON Schemas, what generates them, and what they refuse put into words."""
