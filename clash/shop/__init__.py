"""A fabricator's drawing against what the site file says: read, laid on, compared."""
