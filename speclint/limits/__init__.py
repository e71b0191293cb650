"""Values against limits: which forms a limit takes, and what a decision rule makes of a reading beside it."""
