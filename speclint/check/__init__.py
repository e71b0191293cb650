"""The main job: from files that were found to everything there is to say about them."""
