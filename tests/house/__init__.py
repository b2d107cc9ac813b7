"""What the house's plan says, held true: floors, rooms, the names of files, templates."""
