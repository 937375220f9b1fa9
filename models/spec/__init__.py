"""What a site file may say: one pydantic model per thing the builder describes, lengths in mm."""
