"""Reports on a recorded case, for the customer, the supplier and the next technician."""
