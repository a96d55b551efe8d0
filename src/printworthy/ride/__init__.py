"""From how the vehicle is used to what its parts bear."""
