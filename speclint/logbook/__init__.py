"""The logbook: bench runs, track runs and rebuilds put into the files of setups and motors."""
