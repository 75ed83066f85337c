"""What happens in one sitting, from its first trial to its pause: plain Python, no widget."""
