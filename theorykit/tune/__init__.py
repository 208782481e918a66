"""A tune that a student brings: read from a file, its key and chords proposed, made a study."""
