"""What measures against prisms: plan edges, walls, flat ends, depths."""
