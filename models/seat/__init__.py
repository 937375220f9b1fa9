"""What a pier carries: rods, their hardware, and the beams drilled over them."""
