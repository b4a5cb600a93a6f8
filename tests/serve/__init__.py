"""The application in a browser."""
