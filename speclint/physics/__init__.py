"""Motor, vehicle, thermal network and lap: a prediction with a band, never a verdict. SI units, floats, plain Python."""
