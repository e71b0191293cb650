"""What each document may hold, key by key; the schemas are generated from here."""
