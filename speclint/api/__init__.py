"""The public Python interface, which `speclint` itself exports; everything else in the package is private and may change."""
