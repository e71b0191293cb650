"""The forms that a rule's limit can take, a module each, with all that the program has to know of one."""
