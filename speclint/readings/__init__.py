"""Numbers as they were read: exact values, their instruments, and what is not known about them."""
