"""What was measured after the pour: a surveyor's points, a crew's tape."""
