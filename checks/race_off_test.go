//go:build !race

package checks

// raced tells that the race detector runs.
const raced = false
