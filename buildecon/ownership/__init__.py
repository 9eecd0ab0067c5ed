"""What having a car costs: energy, yearly costs, loan, and the cost of keeping it."""
