"""What an editor is told of the files that are open in it, saved or not."""
