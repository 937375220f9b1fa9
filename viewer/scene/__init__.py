"""A pier and a site as things to look at: meshes by trade, concrete that comes off, fixed cameras, sight."""
