"""Pages: one style and one set of templates for all HTML that speclint writes, and what is drawn on it."""
