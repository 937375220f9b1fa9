"""Pictures of piers and of the site: drawn as pages, and made into PNG files from their PDF."""
