"""What an exercise is made of and what tells a right answer from a wrong one; pure."""
