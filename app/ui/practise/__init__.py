"""The practise screen and its parts."""
