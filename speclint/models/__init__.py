"""Validated documents as frozen values: setups, motors, garages."""
