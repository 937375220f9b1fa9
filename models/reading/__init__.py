"""From a site file and its schedule to a checked description of the site."""
