"""What rules measure with: levels of a cage, laps, bends, holes and what fits in plan."""
