"""Text to documents: `parse.parse` reads a file's text, `tree.Document` is what comes of it."""
