"""Outlines, sweeps, meshes: the plan and solid geometry that parts are made of."""
