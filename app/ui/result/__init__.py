"""What a marked trial looks like: its verdict, its sheet, what was asked beside what was answered."""
