"""What is asked, what is true, how it is marked and what comes next. No Qt, no device."""
