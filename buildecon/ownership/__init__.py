"""What having a car costs: energy, yearly costs, loan, the cost of keeping it; how long it and its components last."""
