package explain

// ReadBy shows the list of what the engine reads by its name to tests.
func ReadBy() map[string]string { return readBy() }
