"""What the car and its equipment are worth as years go by."""
