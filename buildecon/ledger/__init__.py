"""From the parts list and the money that moved to the ladder of totals."""
