"""What a person asks for, one file each."""
