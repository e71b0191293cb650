"""What the page asks that runs speclint in a browser: forms in, verdicts out. The way in is `answers.SiteChecks`."""
