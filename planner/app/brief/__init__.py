"""The screen of the client's page: to be read before it is given away, and saved as PDF, PNG or text."""
