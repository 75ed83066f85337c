"""What is played, before it sounds: metre, grooves, forms, arrangements with their truth."""
