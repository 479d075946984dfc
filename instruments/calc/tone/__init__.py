"""What a recording of single struck notes says; see each module for its measure and its limits."""
