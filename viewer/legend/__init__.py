"""What every picture and page shows alike: looks, numbers of findings, places of piers, arrows."""
