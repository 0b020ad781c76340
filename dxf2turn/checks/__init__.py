"""Can it be made? One rule a file."""
